"""Jotted workouts in many layouts are read as the day they mean."""

from __future__ import annotations

import pytest

from content.challenge import WarmUp, WorkoutDay
from content.shorthand.jotting import jot
from content.shorthand.writing import shorthand_of
from tests.content.shorthand.corpus import DIVISIONS, LIBRARY, jottings

CORPUS = [pytest.param(each, id=each.id) for each in jottings()]


def test_the_corpus_is_large_enough_and_every_entry_is_another():
    texts = [each.text for each in jottings()]

    assert len(set(texts)) == len(texts)
    assert len(texts) >= 60


@pytest.mark.parametrize("jotting", CORPUS)
def test_a_jotted_workout_is_read_as_it_is_meant(jotting):
    jotted = jot(jotting.text, library=LIBRARY, divisions=DIVISIONS)

    assert [str(problem) for problem in jotted.problems] == []
    assert isinstance(jotted.day, WorkoutDay), [str(doubt) for doubt in jotted.doubts]
    assert jotted.day.workout == jotting.workout
    said = jotting.said
    if "warm_up" in said:
        said = said | {"warm_up": WarmUp.model_validate(said["warm_up"])}
    if "cautions" in said:
        said = said | {"cautions": tuple(said["cautions"])}
    assert {key: getattr(jotted.day, key) for key in said} == said


@pytest.mark.parametrize("jotting", CORPUS)
def test_what_was_read_is_printed_and_read_back(jotting):
    day = jot(jotting.text, library=LIBRARY, divisions=DIVISIONS).day

    printed = shorthand_of(day, library=LIBRARY, divisions=DIVISIONS)

    assert jot(printed, library=LIBRARY, divisions=DIVISIONS).day == day


@pytest.mark.parametrize("jotting", CORPUS)
@pytest.mark.parametrize("change", [str.upper, str.lower], ids=["upper", "lower"])
def test_capitals_make_no_difference_to_the_workout(jotting, change):
    jotted = jot(change(jotting.text), library=LIBRARY, divisions=DIVISIONS)

    assert jotted.day is not None

    def bare(workout):
        plain = workout.model_dump(exclude={"how"})
        for own in plain["divisions"].values():
            for rung in own["rungs"]:
                rung["note"] = rung["note"] and rung["note"].casefold()
        return plain

    assert bare(jotted.day.workout) == bare(jotting.workout)
