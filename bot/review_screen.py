"""The programme review on one screen of a phone: what is gravest first, then what to expect."""

from __future__ import annotations

from collections.abc import Iterator

from markupsafe import Markup

from bot.calls import Button, Rows
from bot.messages import utf16_length
from bot.wording import Wording, lines
from content.challenge import RestDay
from content.review.finding import Finding, Severity
from content.review.outlook import Outlook
from content.review.review import Review
from content.review.score_words import minutes_span
from content.review.simulation import Simulated

_SCREEN = 2400  # UTF-16 units of findings: what one reads without scrolling far
_A_ROW = 4
_MOST_PICTURES = 28
_KEYS = {
    Severity.MUST_FIX: "review_must_fix",
    Severity.LOOK_AT: "review_look_at",
    Severity.NOTE: "review_note",
}


def review_screen(say: Wording, review: Review) -> Markup:
    """Write the findings that fit, the gravest first, and how long each day takes."""
    heading = say("review_heading", title=review.outlook.content.head.title)
    parts = [heading, lines(_lengths(say, review.outlook))]
    if not review.findings:
        return Markup("\n\n").join([*parts, say("review_nothing")])
    told, left = _told(say, review.findings)
    if left:
        told.append(say("review_more", count=left))
    return Markup("\n\n").join([*parts, *told])


def _told(say: Wording, findings: tuple[Finding, ...]) -> tuple[list[Markup], int]:
    """Give as many findings as fit, and how many do not."""
    told: list[Markup] = []
    room = _SCREEN
    before: Severity | None = None
    for index, finding in enumerate(findings):
        where = say("review_day", day=finding.day) if finding.day is not None else ""
        text = say(
            "review_finding",
            where=where,
            sentence=finding.sentence,
            suggestion=finding.suggestion,
        )
        if finding.severity is not before:
            text = lines([say(_KEYS[finding.severity]), text])
            before = finding.severity
        room -= utf16_length(text)
        if room < 0 and told:
            return told, len(findings) - index
        told.append(text)
    return told, 0


def _lengths(say: Wording, outlook: Outlook) -> Iterator[Markup]:
    for number, day in enumerate(outlook.content.days, start=1):
        if isinstance(day, RestDay):
            yield say("review_rest", day=number)
            continue
        times = [each.session_s for each in outlook.of_day(number)]
        yield say("review_length", day=number, length=minutes_span(min(times), max(times)))


def picture_buttons(say: Wording, outlook: Outlook) -> Rows:
    """Give a button for the picture of every day that has expected scores."""
    keys = [
        Button(str(say("button_review_picture", day=number)), f"d:picture {number}")
        for number, _, _ in outlook.workout_days()
        if any(isinstance(each.scores, Simulated) for each in outlook.of_day(number))
    ][:_MOST_PICTURES]
    return tuple(tuple(keys[at : at + _A_ROW]) for at in range(0, len(keys), _A_ROW))
