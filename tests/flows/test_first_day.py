"""What a newcomer tries first, on each of the engines we deploy on."""

from __future__ import annotations

import pytest

from tests import databases
from tests.flows.conftest import Stage

pytestmark = pytest.mark.parametrize("engine_name", databases.ENGINES)


async def test_the_day_is_posted_with_warm_up_every_ladder_and_cautions(stage: Stage):
    post = stage.group_texts()[-1]

    assert post.startswith("Day 1 of 7 · Round the bollards")
    assert "Warm-up · 8:00: 45 s each, 15 s to move on" in post
    for heading in ("Full", "Lighter", "Bodyweight"):
        assert f"{heading} · one round:" in post
    assert "• 18 goblet squats · 16 kg (35 lb)" in post
    assert "Wet stone is slippery" in post
    assert "not medical advice" in post


async def test_a_score_is_read_back_with_rung_and_total_of_the_own_division(stage: Stage):
    [full] = await stage.say("Marlow", "3 rounds + 45")
    [lighter] = await stage.say("Oskar", "3 rounds + 45")

    assert full == (
        "Marlow, day 1, Full: 3 rounds + 45 → round 4, 5 of 18 goblet squats; 225 reps"
    )
    # 8 + 16 + 12 are 36, so 45 is nine goblet squats in; a lighter round holds 52.
    assert lighter == (
        "Oskar, day 1, Lighter: 3 rounds + 45 → round 4, 9 of 14 goblet squats; 201 reps"
    )


async def test_somebody_elses_score_is_left_to_them(stage: Stage):
    about_tamsin = await stage.say("Marlow", "Tamsin 4 + 10")
    about_nobody = await stage.say("Marlow", "Zora 4 + 10")

    assert about_tamsin == []
    assert about_nobody == ["Marlow, do I read “4 + 10” right?\nPress one, or write it again."]


async def test_more_than_a_round_holds_is_asked_and_not_recorded(stage: Stage):
    [question] = await stage.say("Marlow", "2 rounds + 400")
    places = await stage.say("Petra", "/places")

    assert "a round of Full holds 60 repetitions" in question
    assert places == ["No day has a result yet."]


async def test_the_button_below_the_question_records_the_choice(stage: Stage):
    await stage.say("Marlow", "2 rounds + 400")

    assert stage.buttons() == [
        "6 rounds + 40 (400 reps)",
        "2 rounds + 40 (160 reps)",
        "None of these",
    ]
    text = await stage.press("Marlow", "2 rounds + 40 (160 reps)")
    assert text.startswith("Marlow, day 1, Full: 2 rounds + 40")


async def test_the_lighter_option_is_answered_for_the_askers_division(stage: Stage):
    [full] = await stage.say("Marlow", "what's the lighter option for the lunges?")
    [lighter] = await stage.say("Oskar", "what's the lighter option for the lunges?")

    assert full.startswith("Easier than forward lunges, hardest first:")
    assert "Lighter does 16 reverse lunges today" in full
    assert lighter.startswith("Easier than reverse lunges, hardest first:")


async def test_chatter_gets_silence(stage: Stage):
    assert await stage.say("Petra", "see you at 6:30, bringing my 2 kids") == []
    assert await stage.say("Petra", "3 rounds in and dying") == []


async def test_next_morning_closes_the_day_shows_standings_and_posts_the_next(stage: Stage):
    await stage.say("Marlow", "3 rounds + 45")
    await stage.say("Petra", "4 rounds + 2")
    await stage.say("Oskar", "3+20")

    result, day_two = await stage.go_to(2, "07:00")

    assert result.splitlines()[:5] == [
        "Day 1 · Round the bollards: the result",
        "",
        "Full · 2 scores",
        "1. Petra · 4 rounds + 2",
        "2. Marlow · 3 rounds + 45",
    ]
    assert "1. Oskar · 3 rounds + 20" in result
    assert day_two.startswith("Day 2 of 7 · Tide going out")
