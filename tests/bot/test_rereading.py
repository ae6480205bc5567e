"""What a score means once its day was changed; never guessed."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path

import pytest

from bot.reading.reader import Reader, Scene
from bot.reading.values import Ask, ScoreRead
from bot.rereading import Fate, Reread, reread
from content.challenge import RestDay, WorkoutDay
from content.loading import DEMO, load_challenge, movement_library
from content.score import Finished, RoundsAndReps, Score
from content.shorthand.jotting import jot

CONTENT = load_challenge(DEMO)
CORPUS = Path(__file__).parents[1] / "reading" / "corpus"
LIBRARY = movement_library()
OLD = "AMRAP 14: 10 push-ups, 20 air squats"
LARGER = "AMRAP 14: 12 push-ups, 20 air squats"
SMALLER = "AMRAP 14: 5 push-ups, 5 air squats"
READER = Reader(movements=LIBRARY, divisions=CONTENT.head.divisions)


def days(text: str) -> Mapping[int, WorkoutDay | RestDay]:
    day = jot(text, library=LIBRARY, divisions=CONTENT.head.divisions).day
    assert day is not None
    return {1: day, 2: CONTENT.days[1]}


def scenes(text: str, *, on: int = 1) -> list[Scene]:
    return [Scene(today, days(text), "full") for today in dict.fromkeys([on, 1])]


def again(text: str, recorded: Score, *, old: str = OLD, new: str = LARGER, on: int = 1) -> Reread:
    return reread(
        text,
        recorded,
        number=1,
        division="full",
        before=(READER, scenes(old, on=on)),
        after=(READER, scenes(new, on=on)),
    )


@pytest.mark.parametrize(
    ("text", "recorded", "new"),
    [
        pytest.param(
            "3 rounds + 5", RoundsAndReps(3, 5, 95), RoundsAndReps(3, 5, 101), id="rounds"
        ),
        pytest.param(
            "got 12 air squats into round two",
            RoundsAndReps(1, 22, 52),
            RoundsAndReps(1, 24, 56),
            id="a_place_on_the_ladder",
        ),
        pytest.param("225 reps", RoundsAndReps(7, 15, 225), RoundsAndReps(7, 1, 225), id="total"),
        pytest.param(
            "make that 3+6", RoundsAndReps(3, 6, 96), RoundsAndReps(3, 6, 102), id="correction"
        ),
        pytest.param(
            "3+5 in full, no wait, easy today",
            RoundsAndReps(3, 5, 95),
            RoundsAndReps(3, 5, 101),
            id="talk_around",
        ),
    ],
)
def test_the_same_words_are_worth_what_the_new_day_says(text, recorded, new):
    assert again(text, recorded) == Reread(Fate.CHANGED, recorded, new)


def test_words_that_mean_the_same_change_nothing():
    recorded = RoundsAndReps(3, 5, 95)

    found = again("3 rounds + 5", recorded, new=f"{OLD}\ncaution: wet")

    assert found == Reread(Fate.SAME, recorded, recorded)


@pytest.mark.parametrize(
    ("text", "recorded", "new"),
    [
        pytest.param("3 rounds + 25", RoundsAndReps(3, 25, 115), SMALLER, id="no_such_place"),
        pytest.param(
            "got 12 air squats into round two",
            RoundsAndReps(1, 22, 52),
            "AMRAP 14: 10 push-ups, 20 burpees",
            id="no_such_movement",
        ),
        pytest.param(
            "3 rounds + 5",
            RoundsAndReps(3, 5, 95),
            "5 rounds for time: 10 push-ups",
            id="other_kind_of_score",
        ),
        pytest.param("3 rounds + 5", RoundsAndReps(4, 4, 124), LARGER, id="another_on_record"),
        pytest.param("well done everybody", RoundsAndReps(3, 5, 95), LARGER, id="no_score"),
        pytest.param("3 rounds + 5", RoundsAndReps(3, 5, 95), "rest day: Walk.", id="rest"),
    ],
)
def test_what_the_words_do_not_explain_stays_and_is_told(text, recorded, new):
    assert again(text, recorded, new=new) == Reread(Fate.UNREAD, recorded)


def test_a_choice_that_was_taken_holds_where_it_is_there_again():
    # Asked about: 32 in all, or 32 more than some rounds?
    old = READER.read("32", scenes(OLD)[0])
    assert isinstance(old, Ask)
    for taken in old.choices:
        assert isinstance(taken, RoundsAndReps)

        found = again("32", taken, new=LARGER)

        if found.new is not None:
            assert isinstance(found.new, RoundsAndReps)
            assert (found.new.rounds, found.new.reps) == (taken.rounds, taken.reps)


def test_words_of_the_day_after_are_read_as_they_were_then():
    recorded = RoundsAndReps(3, 5, 95)

    assert again("yesterday 3+5", recorded, on=2).new == RoundsAndReps(3, 5, 101)
    assert again("day 1: 3+5, today 9:41", recorded, on=2).new == RoundsAndReps(3, 5, 101)


def test_an_answer_to_a_question_about_an_earlier_day_is_read_for_that_day():
    """In a reply to a question a score is one for the question's day."""
    recorded = RoundsAndReps(3, 5, 95)

    assert again("3+5", recorded, on=2).new == RoundsAndReps(3, 5, 101)


def test_a_time_stays_a_time():
    old, new = "5 rounds for time: 10 push-ups", "4 rounds for time: 10 push-ups"

    found = again("9:41", Finished(581), old=old, new=new)

    assert found == Reread(Fate.SAME, Finished(581), Finished(581))


def test_every_sure_score_of_the_corpus_means_the_same_on_the_same_day():
    """Read again against an unchanged day, no result may change or be lost."""
    counted = 0
    for file in sorted(CORPUS.glob("*.jsonl")):
        if file.name.startswith("aside"):
            continue
        for line in file.read_text(encoding="utf-8").splitlines()[:40]:
            text = json.loads(line).get("text", "")
            reading = READER.read(text, scenes(OLD)[0])
            if isinstance(reading, ScoreRead) and reading.said.division in {None, "full"}:
                found = again(text, reading.score, new=OLD)
                if reading.said.day is None:
                    assert found.fate is Fate.SAME, text
                    counted += 1
    assert counted > 20
