"""The review on one screen: what is gravest comes first, and nothing that fits is left out."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from bot.messages import LIMIT, utf16_length
from bot.review_screen import picture_buttons, review_screen
from bot.wording import Wording
from content.loading import DEMO, load_challenge
from content.review.finding import Finding, Severity, in_order
from content.review.review import Review, review
from tests.content.review.test_review import MILL

say = Wording()
DEMO_REVIEW = review(load_challenge(DEMO))
MILL_REVIEW = review(load_challenge(MILL))


def with_findings(*findings: Finding) -> Review:
    return Review(DEMO_REVIEW.outlook, in_order(findings))


def a_finding(severity: Severity, sentence: str, day: int | None = None) -> Finding:
    return Finding("x", severity, sentence, "Do it otherwise.", day=day)


@pytest.mark.parametrize("found", [DEMO_REVIEW, MILL_REVIEW], ids=["demo", "mill"])
def test_it_fits_into_one_message_and_tells_every_day(found):
    text = review_screen(say, found)

    assert utf16_length(text) <= LIMIT
    for number in range(1, len(found.outlook.content.days) + 1):
        assert f"Day {number}: " in text


def test_the_gravest_stand_first_under_their_heading():
    text = review_screen(
        say,
        with_findings(
            a_finding(Severity.NOTE, "A note.", day=1),
            a_finding(Severity.MUST_FIX, "A fault.", day=7),
            a_finding(Severity.LOOK_AT, "A doubt."),
        ),
    )

    told = re.findall(r"<b>[A-Z][a-z ]+</b>|A [a-z]+\.", text.partition("\n\n")[2])
    assert told == [
        "<b>Must be fixed</b>",
        "A fault.",
        "<b>Worth a look</b>",
        "A doubt.",
        "<b>Notes</b>",
        "A note.",
    ]
    assert "• Day 7. A fault.\n→ Do it otherwise." in text


def test_what_does_not_fit_is_counted_and_is_the_least_grave():
    many = [a_finding(Severity.NOTE, f"{number} {'x' * 300}") for number in range(20)]
    grave = [a_finding(Severity.MUST_FIX, "A fault.")]

    text = review_screen(say, with_findings(*many, *grave))

    shown = text.count("→")
    assert "A fault." in text
    assert text.endswith(f"… and {21 - shown} more, less grave")
    assert utf16_length(text) <= LIMIT


def test_a_finding_longer_than_the_screen_is_told_all_the_same():
    text = review_screen(say, with_findings(a_finding(Severity.NOTE, "x" * 2600)))

    assert "x" * 2600 in text


def test_without_findings_it_says_so():
    assert review_screen(say, with_findings()).endswith("Nothing stands out.")


def test_what_people_wrote_brings_no_formatting():
    content = DEMO_REVIEW.outlook.content
    head = content.head.model_copy(update={"title": "<b>Quay"})
    outlook = replace(DEMO_REVIEW.outlook, content=content.model_copy(update={"head": head}))

    assert "&lt;b&gt;Quay" in review_screen(say, Review(outlook, ()))


def test_every_workout_day_with_expected_scores_has_a_picture_to_press():
    data = [button.data for row in picture_buttons(say, DEMO_REVIEW.outlook) for button in row]

    assert data == [f"d:picture {day}" for day in (1, 2, 3, 6, 7)]
