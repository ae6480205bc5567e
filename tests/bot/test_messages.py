"""Long texts are cut into messages that the platform takes, and lose nothing on the way."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from markupsafe import Markup, escape

from bot.messages import LIMIT, pieces, utf16_length
from bot.wording import lines

WORDS = st.text(st.characters(exclude_categories=["Cs", "Cc", "Z"]), min_size=1, max_size=20)
EMOJI = st.sampled_from(["💪", "👩‍🚒", "🏴‍☠️", "🇵🇹", "é", "𝟒𝟓", "<b>", "&amp;", '"'])
SENTENCES = st.lists(WORDS | EMOJI, min_size=1, max_size=8).map(" ".join)
LINES = st.tuples(SENTENCES, st.sampled_from(["{}", "<b>{}</b>", "• <i>{}</i> · 2", ""])).map(
    lambda pair: Markup(pair[1]).format(pair[0])  # noqa: S704 - one of the four
)
PARAGRAPHS = st.lists(LINES, min_size=1, max_size=5).map(lines)
TEXTS = st.lists(PARAGRAPHS, max_size=6).map(Markup("\n\n").join)
few = settings(max_examples=40, deadline=None)  # they are long


class Checked(HTMLParser):
    """Fails on a tag that is not closed in its message; collects the text."""

    def __init__(self, text) -> None:
        super().__init__(convert_charrefs=True)
        self.open, self.text = [], ""
        self.feed(str(text))
        self.close()
        assert self.open == []

    def handle_starttag(self, tag, attrs):
        assert (tag, attrs) in [("b", []), ("i", [])]
        self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.text += data


def words(text):
    return Checked(text).text.split()


@few
@given(text=TEXTS, limit=st.integers(30, 400))
def test_no_piece_is_too_long_or_empty_and_each_is_whole_html(text, limit):
    for piece in pieces(text, limit=limit):
        assert utf16_length(piece) <= limit
        Checked(piece)
        assert piece.strip() or not text.strip()


@few
@given(text=TEXTS, limit=st.integers(250, 500))
def test_no_word_is_lost(text, limit):
    assert [w for piece in pieces(text, limit=limit) for w in words(piece)] == words(text)


@few
@given(text=TEXTS, limit=st.integers(30, 400))
def test_not_a_character_is_lost_even_of_a_line_that_is_too_long(text, limit):
    kept = "".join("".join(words(piece)) for piece in pieces(text, limit=limit))

    assert kept == "".join(words(text))


@pytest.mark.parametrize("character", ["a", "é", "界", "💪", "&", "<", '"'])
def test_a_text_of_any_length_fits_the_platform(character):
    """Source: Bot API, sendMessage: 4096 UTF-16 units."""
    text = Markup("{}").format(character * 9000)

    cut = pieces(text)

    assert len(cut) > 1
    assert max(utf16_length(piece) for piece in cut) <= LIMIT == 4096
    assert "".join(Checked(piece).text for piece in cut) == character * 9000


def test_a_short_text_stays_one_message_untouched():
    text = Markup("<b>Day 1</b>\n\nbe well ")

    assert pieces(text) == [text]


def test_a_text_of_just_the_limit_stays_one_message():
    text = escape("x" * LIMIT)

    assert pieces(text) == [text]
    assert len(pieces(text + "x")) > 1


def test_paragraphs_stay_together_as_long_as_they_fit():
    text = Markup("\n\n").join([Markup("one\ntwo"), Markup("three\nfour"), Markup("five")])

    assert pieces(text, limit=20) == ["one\ntwo\n\nthree\nfour", "five"]


def test_a_paragraph_that_is_too_long_is_cut_between_lines():
    text = lines(f"line number {n}" for n in range(1, 7))

    cut = pieces(text, limit=45)

    assert cut == [
        "line number 1\nline number 2\nline number 3",
        "line number 4\nline number 5\nline number 6",
    ]


def test_empty_lines_alone_make_no_empty_message():
    assert pieces(escape("\n" * 100 + "end"), limit=20) == ["end"]


def test_a_line_that_is_too_long_loses_its_formatting_not_its_words():
    text = Markup("<b>{}</b>").format("strong & steady " * 40)

    cut = pieces(text, limit=120)

    assert not any(re.search("</?b>", piece) for piece in cut)
    assert all(isinstance(piece, Markup) for piece in cut)
    assert "".join("".join(words(p)) for p in cut) == "strong&steady" * 40


@pytest.mark.parametrize(
    ("text", "units"), [("abc", 3), ("é", 1), ("💪", 2), ("👩‍🚒", 5), ("", 0), ("界", 1)]
)
def test_length_is_counted_in_utf16_units(text, units):
    assert utf16_length(text) == units
