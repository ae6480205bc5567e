"""What is said about a draft: every place in a text is shown where it is, whatever is in it."""

from __future__ import annotations

import html
import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.draft_text import tell_draft, tell_invalid, tell_remarks, tell_unfit
from bot.draft_values import USUAL_DIVISIONS, Draft, DraftDay
from bot.messages import LIMIT, utf16_length
from bot.wording import Wording
from content.challenge import MOST_DAYS
from content.errors import ContentInvalid, FileRefused, Problem, Unfit
from content.loading import movement_library
from content.shorthand.jotting import jot

say = Wording()


def remarks(text: str) -> str:
    jotted = jot(text, library=movement_library(), divisions=USUAL_DIVISIONS)
    return str(tell_remarks(say, text, jotted))


def test_the_line_is_quoted_with_the_place_in_bold_and_what_is_the_matter():
    told = remarks("Pier\nAMRAP 12: 10 push-ups, 12 blobs, 5 burpees")

    assert told == (
        "Line 2: AMRAP 12: 10 push-ups, 12 <b>blobs</b>, 5 burpees\n"
        "→ I do not know “blobs”, it is left out for now."
    )


def test_of_a_long_line_what_stands_around_the_place_is_shown():
    told = remarks("AMRAP 12: " + "10 push-ups, " * 8 + "12 blobs" + ", 10 push-ups" * 8)

    quote = told.splitlines()[0]
    assert quote.startswith("Line 1: …")
    assert quote.endswith("…")
    assert "<b>blobs</b>" in quote
    assert len(quote) < 130


@settings(deadline=None, max_examples=60)
@given(text=st.text(st.characters(exclude_categories=["Cs"]), max_size=80))
def test_no_text_brings_formatting_of_its_own_or_raises(text):
    told = remarks(f"<b>{text}\nAMRAP 12: 3 <i>blobs & {text}")

    tags = re.findall(r"</?[a-z]+>", told)
    assert set(tags) <= {"<b>", "</b>"}
    assert tags.count("<b>") == tags.count("</b>")
    assert html.unescape(told)


def test_the_longest_draft_fits_into_one_message():
    day = jot("rest day: Walk.", library={}, divisions=USUAL_DIVISIONS).day
    assert day is not None
    days = tuple(
        DraftDay(day=day.model_copy(update={"title": f"A day of rest, number {number}"}))
        for number in range(MOST_DAYS)
    )

    assert utf16_length(tell_draft(say, Draft(title="Quay", days=days))) <= LIMIT


@pytest.mark.parametrize("why", list(Unfit))
def test_every_reason_to_refuse_a_file_has_its_words(why):
    assert tell_unfit(say, FileRefused(why, name="<x>", most=4))


def test_problems_of_files_are_told_with_file_line_and_field():
    error = ContentInvalid(
        [
            Problem(Path("day-2.yaml"), 7, "workout.cap", "missing"),
            Problem(Path("day-3.yaml"), 0, "", "the file is empty"),
        ]
    )

    assert tell_invalid(say, error).splitlines()[1:] == [
        "• day-2.yaml, line 7: workout.cap: missing",
        "• day-3.yaml: the file is empty",
    ]
