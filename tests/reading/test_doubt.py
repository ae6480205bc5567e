"""What was found is doubted by the words around it."""

from __future__ import annotations

import pytest

from bot.reading.doubt import Around, around, features, likelihood
from bot.reading.found import Found
from bot.reading.normalise import normalise
from content.score import Amount, ScoreKind, Unit

HEAVY = Amount(40_000, Unit.KILOGRAMS)


def words_around(text: str, found: str = "40 kg", *, loose: bool = False) -> Around:
    plain = normalise(text)
    start = plain.text.index(found)
    what = Found(0, 0, (HEAVY,), loose=loose)
    return around(plain, start, start + len(found), ScoreKind.LOAD, what)


def test_nothing_around_leaves_no_doubt():
    assert likelihood(words_around("40 kg")) == 1.0
    assert likelihood(words_around("40 kg!")) == 1.0


def test_a_figure_that_no_pattern_reads_needs_words_that_speak_for_it():
    assert likelihood(words_around("40 kg", loose=True)) == 0.0


@pytest.mark.parametrize(
    ("score", "talk"),
    [
        ("managed 40 kg for my five, back flat", "bought 40 kg of compost, my back hates me"),
        ("5 clean ones at 40 kg, happy with that", "going to try 40 kg later, wish me luck"),
        ("40 kg today, felt heavy", "my dog weighs 40 kg and pulls like a tractor"),
    ],
)
def test_words_of_lifting_make_it_likelier_than_words_of_talk(score: str, talk: str):
    assert likelihood(words_around(score)) > likelihood(words_around(talk))


def test_figures_are_all_the_same_word():
    one = dict(features(words_around("40 kg after 3 tries")))
    other = dict(features(words_around("40 kg after 17 tries")))

    assert one == other


def test_only_so_many_words_are_weighed():
    near = words_around("oats " * 80 + "40 kg" + " oats" * 80)
    far = words_around("oats " * 4000 + "40 kg" + " oats" * 4000)

    assert dict(features(near)) == dict(features(far))
