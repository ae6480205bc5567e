"""The programme review for programs. README, "Review as JSON", explains the keys."""

from __future__ import annotations

from typing import Any

from content.challenge import Day, RestDay
from content.review.finding import Finding
from content.review.outlook import Expected, Outlook
from content.review.review import Review
from content.review.simulation import Simulated
from content.review.week_rules import week_loads
from content.score import ScoreKind, score_to_json

_SHARES = {"worst_twentieth": 0.05, "worse": 0.25, "middle": 0.5, "better": 0.75,
           "best_twentieth": 0.95}  # fmt: skip


def review_to_json(review: Review) -> dict[str, Any]:
    """Write a review with every number that it rests on."""
    content = review.outlook.content
    return {
        "title": content.head.title,
        "must_be_fixed": review.must_be_fixed,
        "days": [_day(review.outlook, number, day) for number, day in enumerate(content.days, 1)],
        "weeks": _weeks(review.outlook),
        "findings": [finding_to_json(finding) for finding in review.findings],
    }


def _day(outlook: Outlook, number: int, day: Day) -> dict[str, Any]:
    found: dict[str, Any] = {"day": number, "kind": day.kind, "title": day.title}
    if isinstance(day, RestDay):
        return found
    return found | {"divisions": [_division(each) for each in outlook.of_day(number)]}


def _division(each: Expected) -> dict[str, Any]:
    quick, middle, slow = (round(seconds) for seconds in each.lengths_s)
    return {
        "division": each.division.id,
        "score": each.task.workout.score.value,
        **_scores(each),
        "warm_up_s": each.warm_up_s,
        "workout_s": {"quick": quick, "middle": middle, "slow": slow},
        "session_s": round(each.session_s),
        "effort": each.effort,
        "load": round(each.load, 1),
        "work_s": {pattern.value: round(s) for pattern, s in sorted(each.work_s.items())},
    }


def _scores(each: Expected) -> dict[str, Any]:
    scores = each.scores
    if not isinstance(scores, Simulated):
        return {"no_expected_scores": scores.value}
    found: dict[str, Any] = {
        "people": int(scores.keys.size),
        "expected": {name: score_to_json(scores.at(share)) for name, share in _SHARES.items()},
    }
    if each.task.workout.score is ScoreKind.TIME:
        found["capped_share"] = round(scores.capped_share, 4)
    return found


def _weeks(outlook: Outlook) -> list[dict[str, Any]]:
    return [
        {
            "first_day": week[0],
            "last_day": week[-1],
            "division": division,
            "load": round(load.total, 1),
            "deviation": round(load.deviation, 2),
            "monotony": None if load.monotony is None else round(load.monotony, 3),
            "strain": None if load.strain is None else round(load.strain, 1),
        }
        for week, division, load in week_loads(outlook)
    ]


def finding_to_json(finding: Finding) -> dict[str, Any]:
    """Write a finding; an empty `divisions` means all of them."""
    return {
        "id": finding.id,
        "severity": finding.severity.value,
        "day": finding.day,
        "divisions": list(finding.divisions),
        "numbers": dict(finding.numbers or {}),
        "sentence": finding.sentence,
        "suggestion": finding.suggestion,
    }
