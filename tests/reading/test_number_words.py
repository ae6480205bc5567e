"""Number words of every language, 0 to 9,999, against libraries that write and read them.

Sources: num2words 0.5 writes them, text2num 3 reads them, CLDR (through Babel) says which mark
stands before decimals.
"""

from __future__ import annotations

import pytest
from babel.numbers import get_decimal_symbol
from num2words import num2words
from text_to_num import text2num

from bot.reading.kinds import Kind
from bot.reading.lexicon import Asked, build_lexicon
from bot.reading.normalise import normalise
from bot.reading.tokens import tokenise
from content.words import languages, load_words

ENGLISH = load_words("en")
every_language = pytest.mark.parametrize("language", languages())


@pytest.fixture(scope="module")
def lexicons():
    return {
        language: build_lexicon(
            load_words(language), english=ENGLISH, asked=Asked.of(()), movements=(), divisions=()
        )
        for language in languages()
    }


def said(number, language):
    """Write a number and what it counts: a lone "one" may be anything."""
    return f"{num2words(number, lang=language)} reps"


def numbers_in(text, lexicon):
    tokens = tokenise(normalise(text), lexicon)
    return [token.value for token in tokens if token.kind is Kind.NUMBER]


@every_language
def test_every_number_to_9999_is_read_as_num2words_writes_it(lexicons, language):
    wrong = {
        text: found
        for number in range(10_000)
        if (found := numbers_in(text := said(number, language), lexicons[language])) != [number]
    }

    assert wrong == {}


@every_language
def test_text2num_reads_them_as_we_do(lexicons, language):
    """Every seventh and the hundreds around: text2num is slow."""
    wrong = {}
    for number in {*range(0, 10_000, 7), *range(200)}:
        text = num2words(number, lang=language)
        theirs = text2num(text.replace(",", ""), language)
        if [theirs] != numbers_in(f"{text} reps", lexicons[language]):
            wrong[text] = theirs

    assert wrong == {}


@pytest.mark.parametrize(("text", "number"), [("septante et un", 71), ("nonante-neuf", 99)])
def test_numbers_of_french_in_switzerland_and_belgium(lexicons, text, number):
    """Source: num2words, locale fr_CH."""
    assert numbers_in(text, lexicons["fr"]) == [number]


@every_language
def test_the_decimal_mark_is_the_one_of_cldr(language):
    words = load_words(language)

    assert ("," if words.decimal_comma else ".") == get_decimal_symbol(language)
