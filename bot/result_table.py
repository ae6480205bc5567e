"""Results as the rows of a table: one for each result, and one for each line of its history."""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import datetime
from zoneinfo import ZoneInfo

from bot.running import stored_score
from bot.score_text import score_text
from store.recorded import RecordedResult
from store.values import Challenge, Change

Cell = str | int | float | None

RESULTS = (
    "group",
    "challenge",
    "challenge_number",
    "chat_id",
    "day",
    "name",
    "person_id",
    "home_division",
    "division",
    "score",
    "state",
    "rank_key",
    "words",
    "effort",
    "load_kg",
    "marked",
    "said_at",
    "recorded_at",
    "result_json",
    "changes",
    "history",
)
HISTORY = (
    "group",
    "challenge",
    "challenge_number",
    "chat_id",
    "day",
    "name",
    "person_id",
    "change",
    "what",
    "by_person_id",
    "at",
    "why",
    "score_before",
    "score_after",
    "words_before",
    "words_after",
)


def result_rows(
    challenge: Challenge, group: str, recorded: Iterable[RecordedResult]
) -> list[tuple[Cell, ...]]:
    """Give a row for each result, in the order of `RESULTS`.

    Instants are ISO 8601 in the challenge's zone; `history` has a line for each change.
    """
    zone = ZoneInfo(challenge.tz)
    return [
        (
            *_whose(challenge, group, each),
            each.home,
            each.result.division,
            score_text(stored_score(each.result.result)),
            str(each.result.state),
            each.result.rank_key,
            each.result.raw_text,
            each.result.effort,
            None if each.result.load_g is None else each.result.load_g / 1000,
            each.result.mark,
            _local(each.result.said_at, zone),
            _local(each.result.recorded_at, zone),
            each.result.result,
            len(each.changes),
            "\n".join(_told(change, zone) for change in each.changes),
        )
        for each in recorded
    ]


def history_rows(
    challenge: Challenge, group: str, recorded: Iterable[RecordedResult]
) -> list[tuple[Cell, ...]]:
    """Give a row for each change of each result, in the order of `HISTORY`."""
    zone = ZoneInfo(challenge.tz)
    return [
        (
            *_whose(challenge, group, each),
            change.change_number,
            str(change.kind),
            change.by,
            _local(change.at, zone),
            change.why,
            _score(change.before),
            _score(change.after),
            _words(change.before),
            _words(change.after),
        )
        for each in recorded
        for change in each.changes
    ]


def _whose(challenge: Challenge, group: str, each: RecordedResult) -> tuple[Cell, ...]:
    return (
        group,
        challenge.title,
        challenge.challenge_id,
        challenge.chat_id,
        each.result.day_number,
        each.name,
        each.result.user_id,
    )


def _told(change: Change, zone: ZoneInfo) -> str:
    """Say one change: "2026-06-01T09:12:00+01:00 corrected: 3 rounds + 54 -> 3 rounds + 45"."""
    before, after = _score(change.before), _score(change.after)
    score = after if before in {None, after} else f"{before} -> {after}"
    why = f" ({change.why})" if change.why else ""
    return f"{_local(change.at, zone)} {change.kind}: {score}{why}"


def _score(stored: str | None) -> str | None:
    return None if stored is None else score_text(stored_score(json.loads(stored)["result"]))


def _words(stored: str | None) -> str | None:
    return None if stored is None else str(json.loads(stored)["raw_text"])


def _local(instant: datetime, zone: ZoneInfo) -> str:
    return instant.astimezone(zone).isoformat(timespec="seconds")
