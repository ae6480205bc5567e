"""Texts are filled in, and what comes from outside is escaped."""

from __future__ import annotations

import html

import pytest
from babel import Locale
from hypothesis import given, settings
from hypothesis import strategies as st
from markupsafe import Markup

from bot.wording import Wording, lines
from content.errors import ContentInvalid
from content.texts import Counted, load_texts

say = Wording()


def recorded(**values: object):
    defaults = {"name": "Mira", "day": 1, "division": "Full", "score": "9:41", "place": ""}
    return say("recorded", **(defaults | values))


def test_a_text_is_filled_in():
    assert recorded() == "Mira, day 1, Full: <b>9:41</b>"


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        pytest.param("<b>Boss</b>", "&lt;b&gt;Boss&lt;/b&gt;", id="tags"),
        pytest.param("A & B", "A &amp; B", id="ampersand"),
        pytest.param("&lt;", "&amp;lt;", id="entity"),
        pytest.param('"O\'Neil"', "&#34;O&#39;Neil&#34;", id="quotes"),
        pytest.param("{name}{0}", "{name}{0}", id="braces"),
        pytest.param("%s%(day)d", "%s%(day)d", id="percent"),
        pytest.param("Zoë 💪 נועה", "Zoë 💪 נועה", id="any_script"),
    ],
)
def test_names_are_shown_as_they_are(name, shown):
    assert recorded(name=name).startswith(f"{shown}, day 1")


@settings(deadline=None)
@given(name=st.text())
def test_no_name_brings_formatting_of_its_own(name):
    filled = recorded(name=name)

    assert filled.count("<") == 2
    assert html.unescape(filled.partition(", day 1")[0]) == name


def test_our_own_formatting_is_not_escaped_again():
    inner = say("day_division", name="A & B")

    assert recorded(place=say("recorded_place", place=inner)).endswith(" → <b>A &amp; B</b>")


@pytest.mark.parametrize(
    ("count", "text"),
    [(0, "and 0 more"), (1, "and one more"), (2, "and 2 more"), (11, "and 11 more")],
)
def test_the_count_chooses_the_form(count, text):
    assert say("standings_more", count=count) == text


def test_a_text_that_is_not_there_or_not_filled_is_an_error():
    with pytest.raises(KeyError, match="no_such_text"):
        say("no_such_text")
    with pytest.raises(KeyError, match="name"):
        say("recorded", day=1, division="Full", score="9:41", place="")


def test_a_language_without_texts_is_refused():
    with pytest.raises(ContentInvalid, match="no such file"):
        Wording("xx")


def test_lines_leave_out_what_is_none_and_escape_what_is_plain():
    assert lines([Markup("<b>a</b>"), None, "b < c", ""]) == "<b>a</b>\nb &lt; c\n"
    assert isinstance(lines(["plain"]), Markup)


def test_the_form_for_a_count_is_the_one_of_cldr():
    """Source: CLDR plural rules of English, through Babel."""
    key = next(key for key, text in load_texts("en").items() if isinstance(text, Counted))
    text = load_texts("en")[key]
    english = Locale("en")

    for count in range(202):
        form = getattr(text, english.plural_form(count))
        values = {"count": count}
        assert html.unescape(say(key, **values)) == form.format(**values), count
