"""The programme review for a terminal: a block for each day, then what stands out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from textwrap import fill, wrap

import numpy as np

from content.challenge import RestDay
from content.review.finding import Finding, Severity
from content.review.outlook import Expected, Outlook
from content.review.review import Review
from content.review.score_words import minutes_span, percent, short_score, span
from content.review.shape import shape_of
from content.review.simulation import Simulated
from content.review.week_rules import week_loads
from content.score import Capped, ScoreKind

WIDTH = 96
_COLUMNS = 40
_WORTH_SAYING = 0.01  # a share of the people
_BLOCKS = " ▁▂▃▄▅▆▇█"
_HEADINGS = {
    Severity.MUST_FIX: "Must be fixed",
    Severity.LOOK_AT: "Worth a look",
    Severity.NOTE: "Notes",
}


def review_text(review: Review) -> str:
    """Write the whole review."""
    return "\n".join([*_days(review.outlook), *_weeks(review.outlook), *_findings(review)])


def _days(outlook: Outlook) -> Iterator[str]:
    yield "What to expect of a group of mixed abilities, imagined from each movement's pace"
    yield "(chart: the worst twentieth to the best; ━ the middle half, ◆ the middle):"
    for number, day in enumerate(outlook.content.days, start=1):
        yield ""
        if isinstance(day, RestDay):
            yield f"Day {number} · {day.title} · rest"
            continue
        expected = outlook.of_day(number)
        times = [each.session_s for each in expected]
        length = minutes_span(min(times), max(times))
        yield f"Day {number} · {day.title} · about {length} from warm-up to going home"
        unknown = _unknown(expected)
        if unknown is not None:
            yield f"  No expected scores: {unknown}."
            continue
        for each in expected:
            yield from _division(each)


def _unknown(expected: Sequence[Expected]) -> str | None:
    """Give the reason why a day has no expected scores in any division, if it is the same."""
    reasons = {None if isinstance(e.scores, Simulated) else e.scores.value for e in expected}
    return reasons.pop() if len(reasons) == 1 else None


def _division(each: Expected) -> Iterator[str]:
    yield f"  {each.division.name}: {expectation(each)}"
    if isinstance(each.scores, Simulated):
        low, high = (short_score(each.scores.at(share)) for share in (0.05, 0.95))
        bars, marks = chart(each.scores)
        yield f"  {low:>18} {bars} {high}"
        yield f"  {'':18} {marks}".rstrip()


def expectation(each: Expected) -> str:
    """Say in one line what a division's people are expected to score."""
    scores = each.scores
    if not isinstance(scores, Simulated):
        return f"no expected scores: {scores.value}"
    worse, middle, better = (scores.at(share) for share in (0.25, 0.5, 0.75))
    low, high = span(worse, better)
    stopped = f"{percent(scores.capped_share)} capped"
    match worse, better:
        case Capped(total_reps=low_reps), Capped(total_reps=high_reps):
            return f"{stopped}, half of them with {low_reps} to {high_reps} reps"
        case Capped(), _:
            return f"{stopped}; the middle is {short_score(middle)}, a quarter is under {high}"
    capped = f"; {stopped}" if scores.capped_share >= _WORTH_SAYING else ""
    if worse == better:
        return f"half of them score {high}{capped}"
    lowest = each.task.workout.score is ScoreKind.LOWEST_ROUND
    what = "their lowest rounds" if lowest else "them"
    between = f"half of {what} land between {low} and {high}"
    return f"{between}, the middle at {short_score(middle)}{capped}"


def chart(scores: Simulated) -> tuple[str, str]:
    """Draw a distribution in one line of blocks, with a line of marks for its middle half.

    From the worst twentieth to the best; those whom the cap stopped stand at its left end.
    """
    shape = shape_of(scores)
    if not shape.values.size:
        return "·" * _COLUMNS, ""
    low, high = shape.at(0.05), shape.at(0.95)
    low, high = shape.values[0] if low is None else low, shape.values[-1] if high is None else high
    if low >= high:
        return "█" * _COLUMNS, "━" * _COLUMNS
    heights = shape.heights(np.linspace(low, high, _COLUMNS))
    bars = "".join(_BLOCKS[max(1, round(8 * float(height)))] for height in heights)
    columns = [_column(shape.at(share), low, high) for share in (0.25, 0.5, 0.75)]
    marks = ["━" if columns[0] <= place <= columns[2] else " " for place in range(_COLUMNS)]
    marks[columns[1]] = "◆"
    return bars, "".join(marks)


def _column(value: float | None, low: float, high: float) -> int:
    if value is None:
        return 0
    return min(_COLUMNS - 1, max(0, int((value - low) / (high - low) * _COLUMNS)))


def _weeks(outlook: Outlook) -> Iterator[str]:
    rows = list(week_loads(outlook))
    if rows:
        yield ""
        yield "Load of the week (effort out of 10 times minutes, warm-up included):"
    for week, division, load in rows:
        alike = "every day the same" if load.monotony is None else f"monotony {load.monotony:.1f}"
        strain = "" if load.strain is None else f", strain {load.strain:.0f}"
        name = outlook.content.division(division).name
        yield f"  days {week[0]}-{week[-1]}, {name}: {load.total:.0f}, {alike}{strain}"


def _findings(review: Review) -> Iterator[str]:
    if not review.findings:
        yield from ("", "Nothing stands out.")
    for severity, heading in _HEADINGS.items():
        found = [finding for finding in review.findings if finding.severity is severity]
        if found:
            yield from ("", f"{heading}:")
        for finding in found:
            yield from _finding(finding)


def _finding(finding: Finding) -> Iterator[str]:
    where = "" if finding.day is None else f"Day {finding.day}. "
    yield from wrap(
        f"{where}{finding.sentence}",
        WIDTH,
        initial_indent="- ",
        subsequent_indent="  ",
        break_on_hyphens=False,
    )
    yield fill(
        finding.suggestion,
        WIDTH,
        initial_indent="  → ",
        subsequent_indent="    ",
        break_on_hyphens=False,
    )
