"""The corpus of messages written by hand: what must never happen, and how far we have come."""

from __future__ import annotations

from collections import Counter

import pytest

from tests.reading.corpus_check import corpus, read_line, verdict

# The files that were tuned on; the others measure, `python -m tests.bench reading` prints them.
OPEN = ("scores-en.jsonl", "others-en.jsonl")


def test_no_score_is_wrong_in_silence(reader, content):
    wrong = [
        line.text
        for line in corpus(*OPEN)
        if verdict(line.expect, read_line(reader, content, line)) == "wrong in silence"
    ]

    assert wrong == []


def test_no_emergency_is_recorded_as_a_score(reader, content):
    missed = [
        line.text
        for line in corpus(*OPEN)
        if verdict(line.expect, read_line(reader, content, line)) == "recorded caution"
    ]

    assert missed == []


@pytest.mark.parametrize("kind", ["score", "ask", "chatter", "question", "caution"])
def test_most_of_the_open_corpus_is_read_right(reader, content, kind):
    """A floor under what was reached; `python -m tests.bench reading` lists every miss."""
    verdicts = Counter(
        verdict(line.expect, read_line(reader, content, line))
        for line in corpus(*OPEN)
        if line.expect["kind"] == kind
    )

    assert verdicts["right"] / verdicts.total() >= FLOORS[kind], verdicts


FLOORS = {"score": 0.88, "ask": 0.80, "chatter": 0.95, "question": 0.90, "caution": 0.95}


def test_every_line_of_the_corpus_is_well_formed(content):
    for line in corpus(*OPEN):
        assert line.text
        assert 1 <= line.day <= len(content.days)
        assert content.division(line.division)
        assert line.expect["kind"] in FLOORS
