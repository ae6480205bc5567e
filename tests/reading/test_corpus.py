"""The corpus of messages written by hand: what must never happen, and how far we have come."""

from __future__ import annotations

from collections import Counter

import pytest

from bot.reading.reader import could_matter
from tests.reading.corpus_check import (
    CHALLENGES,
    KINDS,
    aside_files,
    challenge,
    corpus,
    open_files,
    read_line,
    verdict,
)

# Lines that cannot be read right by anybody who does not know more than the message: listed, so
# that every other wrong score fails. Each says why.
KNOWN_WRONG = {
    "6 rounds y 10 reps, versión abedul": "a division's name translated; no word list has it",
    "fait en bouleau, 27": "the same",
    "oil is done, and yesterday i ran 57:30": "the day's title stands for the day",
}


@pytest.fixture(scope="module")
def judged():
    """Every open line with its verdict; the files put aside are for the bench to count."""
    return [(line, verdict(line.expect, read_line(line))) for line in corpus(*open_files())]


def test_no_score_is_wrong_in_silence(judged):
    wrong = {line.text for line, found in judged if found == "wrong in silence"}

    assert wrong <= KNOWN_WRONG.keys()


def test_no_emergency_is_recorded_as_a_score(judged):
    assert [line.text for line, found in judged if found == "recorded caution"] == []


@pytest.mark.parametrize("kind", ["score", "ask", "chatter", "question", "caution", "take_back"])
def test_most_of_the_open_corpus_is_read_right(judged, kind):
    """A floor under what was reached; `python -m tests.bench reading` lists every miss."""
    verdicts = Counter(found for line, found in judged if line.expect["kind"] == kind)

    assert verdicts["right"] / verdicts.total() >= FLOORS[kind], verdicts


FLOORS = {
    "score": 0.92,
    "ask": 0.84,
    "chatter": 0.92,
    "question": 0.94,
    "caution": 0.98,
    "take_back": 0.95,
}


def test_every_line_of_the_corpus_is_well_formed():
    for line in corpus(*open_files()):
        content, _ = challenge(line.challenge)
        assert line.text
        assert line.challenge in CHALLENGES
        assert 1 <= line.day <= len(content.days)
        assert content.division(line.division)
        assert line.expect["kind"] in KINDS


def test_nothing_but_chatter_is_passed_over_unread():
    passed_over = [line for line in corpus(*open_files()) if not could_matter(line.text)]

    assert passed_over
    assert {read_line(line)["kind"] for line in passed_over} == {"chatter"}


def test_a_third_of_the_corpus_is_put_aside():
    sizes = Counter()
    mixed = [name for name in open_files() if not name.startswith("only")]
    for line in corpus(*mixed, *aside_files()):
        sizes[line.file in aside_files()] += 1

    assert sizes.total() >= 1000
    assert 100 * sizes[True] >= 33 * sizes.total()
