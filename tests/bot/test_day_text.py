"""The post of a day: everything people need, nothing that was not written."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime

import pytest

from bot.day_text import count_text, day_for, day_post
from bot.messages import LIMIT, pieces, utf16_length
from bot.reading.reader import Reader
from bot.running import Running
from bot.timetable import plan_days
from bot.wording import Wording
from content.challenge import Challenge, WorkoutDay
from content.loading import DEMO, load_challenge, movement_library
from content.workout import Rung
from store.values import Challenge as StoredChallenge
from store.values import ChallengeId, ChatId, UserId
from tests.content.builders import a_head, a_rest_day, a_workout_day

START = date(2026, 3, 2)
NUMBERS = range(1, 8)


def running(content):
    """A challenge as it stands in a group, begun on 2 March."""
    stored = StoredChallenge(
        chat_id=ChatId(-100),
        challenge_id=ChallengeId(1),
        title=content.head.title,
        tz=content.head.time_zone,
        start_date=START,
        content=content.model_dump_json(),
        thread_id=None,
        organiser_id=UserId(900),
        created_at=datetime(2026, 3, 1, tzinfo=UTC),
        ended_at=None,
    )
    return Running(
        stored=stored,
        content=content,
        days=plan_days(content.head, content.days, START),
        reader=Reader(movements=content.movements, divisions=content.head.divisions),
        say=Wording(content.head.language),
    )


DEMO_RUNNING = running(load_challenge(DEMO))


def one_day(rungs, title="A day", **workout: object):
    """The lines of a post for a challenge of one day and one division."""
    day = a_workout_day(rungs, **workout).model_copy(update={"title": title})
    head = a_head(divisions=[{"id": "full", "name": "Full", "summary": "as written"}])
    content = Challenge(head=head, days=(day,), movements=dict(movement_library()))
    return day_post(running(content), 1).split("\n")


@pytest.mark.parametrize("number", NUMBERS)
def test_a_post_names_every_division_movement_and_caution(number):
    content = DEMO_RUNNING.content
    day = content.days[number - 1]

    post = day_post(DEMO_RUNNING, number).unescape()

    assert day.title in post
    for caution in (*day.cautions, *content.head.cautions):
        assert post.count(f"• {caution}") == 1
    if isinstance(day, WorkoutDay):
        named = [rung.movement for own in day.workout.divisions.values() for rung in own.rungs]
        for movement in (content.movements[name] for name in (*named, *day.warm_up.movements)):
            assert movement.plural in post or movement.name in post
        for division in content.head.divisions:
            assert f"<b>{division.name}</b>" in post


@pytest.mark.parametrize("number", NUMBERS)
def test_a_post_of_the_demo_is_one_message(number):
    post = day_post(DEMO_RUNNING, number)

    assert utf16_length(post) <= LIMIT
    assert pieces(post) == [post]


@pytest.mark.parametrize("number", NUMBERS)
def test_formatting_closes_on_its_line(number):
    for line in day_post(DEMO_RUNNING, number).split("\n"):
        assert line.count("<b>") == line.count("</b>")
        assert "<" not in re.sub("</?b>", "", line)


def test_a_person_sees_their_own_division_only():
    text = day_for(DEMO_RUNNING, 1, "lighter")

    assert "<b>Lighter</b> · one round:" in text
    assert "step-back burpees" in text
    assert "<b>Full</b>" not in text
    assert "goblet squats · 16 kg" not in text


def test_a_rest_day_asks_for_no_score():
    post = day_post(DEMO_RUNNING, 4)

    assert post.startswith("<b>Day 4 of 7 · Slack water</b>\n\nNo score today.")
    assert post.endswith("Nothing to score today.")
    assert "Warm-up" not in post


def test_the_demo_day_as_posted():
    lines = day_for(DEMO_RUNNING, 1, "full").split("\n")

    assert lines[0] == "<b>Day 1 of 7 · Round the bollards</b>"
    assert lines[3] == "<b>Warm-up</b> · 8:00: 45 s each, 15 s to move on"
    assert lines[4].startswith("marches · arm circles · hip circles · ")
    assert lines[6] == "<b>Workout</b> · 14:00 of work, as much as you can"
    assert lines[8:15] == [
        "",
        "<b>Full</b> · one round:",
        "• 8 push-ups",
        "• 20 forward lunges",
        "• 12 dumbbell rows · 16 kg (35 lb) · switch 6/6",
        "• 18 goblet squats · 16 kg (35 lb)",
        "• 2 burpees",
    ]


@pytest.mark.parametrize(
    ("workout", "clock", "rounds"),
    [
        pytest.param(
            {"score": "rounds_and_reps", "shape": "repeat", "window": "14 min"},
            "14:00 of work, as much as you can",
            "one round:",
            id="repeat_in_a_window",
        ),
        pytest.param(
            {"score": "time", "shape": "repeat", "rounds": 5, "cap": "20 min"},
            "at most 20:00, then the clock stops",
            "5 rounds of:",
            id="rounds_for_time",
        ),
        pytest.param(
            {"score": "time", "shape": "repeat", "rounds": 1},
            "no time limit",
            "one round:",
            id="one_round_without_a_cap",
        ),
        pytest.param(
            {"score": "time", "shape": "once", "cap": "25 min"},
            "at most 25:00, then the clock stops",
            "once through:",
            id="once",
        ),
        pytest.param(
            {"score": "rounds_and_reps", "shape": "climb", "step": 2, "window": "9 min"},
            "9:00 of work, as much as you can",
            "start with this, then 2 more of each every round:",
            id="climb",
        ),
        pytest.param(
            {"score": "time", "shape": "descend", "step": 1, "rounds": 8, "cap": "9 min"},
            "at most 9:00, then the clock stops",
            "start with this, then 1 fewer of each every round:",
            id="descend",
        ),
    ],
)
def test_how_the_rounds_go_is_said(workout, clock, rounds):
    lines = one_day([{"movement": "push-up", "reps": 8}], **workout)

    assert f"<b>Workout</b> · {clock}" in lines
    assert f"<b>Full</b> · {rounds}" in lines


def test_a_scheme_is_written_out_and_its_movements_have_no_count():
    lines = one_day(
        [{"movement": "burpee"}, {"movement": "step-up", "reps": 10}],
        score="time",
        shape="scheme",
        scheme=[21, 15, 9],
    )

    assert "<b>Full</b> · 21-15-9 of each:" in lines
    assert lines[lines.index("<b>Full</b> · 21-15-9 of each:") + 1 :][:2] == [
        "• burpees",
        "• 10 step-ups",
    ]


def test_intervals_are_said_with_their_rest():
    lines = one_day(
        [{"movement": "air-squat", "note": "count them"}],
        score="lowest_round",
        shape="open",
        intervals={"rounds": 6, "work": "40 s", "rest": "35 s"},
    )

    assert "<b>Workout</b> · 6 times 40 s of work and 35 s of rest" in lines
    assert "• air squats · count them" in lines


def test_intervals_without_rest_say_none():
    lines = one_day(
        [
            {"movement": "kettlebell-swing", "reps": 12, "note": "odd minutes"},
            {"movement": "burpee", "reps": 8, "note": "even minutes"},
        ],
        score="done",
        shape="repeat",
        rounds=5,
        intervals={"rounds": 10, "work": "60 s", "rest": "0 s"},
    )

    assert "<b>Workout</b> · 10 times 60 s, one after the other" in lines
    assert lines[lines.index("<b>Full</b> · 5 rounds of:") + 1 :][:2] == [
        "• 12 kettlebell swings · odd minutes",
        "• 8 burpees · even minutes",
    ]


def test_a_time_that_is_only_to_be_done_asks_for_no_more():
    lines = one_day([{"movement": "walk"}], score="done", shape="open", window="20 min")

    assert "<b>Workout</b> · 20:00" in lines


@pytest.mark.parametrize(
    ("rung", "line"),
    [
        pytest.param(
            {"movement": "split-squat", "reps": 10, "each_side": True},
            "• 10 split squats · each side",
            id="each_side",
        ),
        pytest.param(
            {"movement": "dumbbell-row", "reps": 70, "load": "24 kg"},
            "• 70 dumbbell rows · 24 kg (53 lb) · switch 20/20, 15/15",
            id="switch_plan",
        ),
        pytest.param(
            {"movement": "dumbbell-row", "reps": 10, "load": "24 kg", "each_side": True},
            "• 10 dumbbell rows · 24 kg (53 lb) · each side",
            id="each_side_needs_no_switch_plan",
        ),
        pytest.param(
            {"movement": "two-dumbbell-press", "reps": 6, "load": "2 x 22.5 kg"},
            "• 6 two-dumbbell presses · 2 x 22.5 kg (2 x 50 lb)",
            id="two_pieces",
        ),
        pytest.param({"movement": "run", "metres": 200}, "• 200 m run", id="metres"),
        pytest.param({"movement": "plank", "seconds": 30}, "• 30 s plank", id="seconds"),
        pytest.param({"movement": "burpee", "reps": 1}, "• 1 burpee", id="one"),
        pytest.param(
            {"movement": "burpee", "reps": 2, "note": "<jump> & clap"},
            "• 2 burpees · &lt;jump&gt; &amp; clap",
            id="note_is_escaped",
        ),
    ],
)
def test_rungs_in_words(rung, line):
    assert line in one_day([rung])


def test_what_the_organiser_wrote_is_escaped():
    lines = one_day([{"movement": "burpee", "reps": 2}], title="<b>Fast</b> & loose")

    assert lines[0] == "<b>Day 1 of 1 · &lt;b&gt;Fast&lt;/b&gt; &amp; loose</b>"


def test_the_footer_shows_a_score_and_a_movement_of_that_day():
    footer = day_for(DEMO_RUNNING, 2, "full").split("\n")[-1]

    assert "for example “9:37”" in footer
    assert "the lighter option for the kettlebell swings?" in footer


def test_cautions_said_twice_are_shown_once():
    head = a_head(divisions=[{"id": "full", "name": "Full", "summary": "as written"}])
    rest = a_rest_day().model_copy(update={"cautions": head.cautions})
    content = Challenge(head=head, days=(rest,), movements={})

    assert day_post(running(content), 1).count("Stop if it hurts.") == 1


@pytest.mark.parametrize(
    ("rung", "name", "text"),
    [
        pytest.param({"reps": 20}, "forward-lunge", "20 forward lunges", id="reps"),
        pytest.param({"reps": 1}, "forward-lunge", "1 forward lunge", id="one"),
        pytest.param({"metres": 400}, "run", "400 m run", id="metres"),
        pytest.param({"seconds": 45}, "plank", "45 s plank", id="seconds"),
        pytest.param({"calories": 12}, "run", "12 cal run", id="calories"),
        pytest.param({}, "step-up", "step-ups", id="without_a_count"),
    ],
)
def test_counts_in_words(rung, name, text):
    assert count_text(Rung(movement=name, **rung), movement_library()[name]) == text
