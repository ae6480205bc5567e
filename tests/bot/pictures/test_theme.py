"""Colours that can be read, and text that always fits."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.pictures import theme

pair = pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [
        # WCAG 2.2 formula; values also by the package wcag-contrast-ratio.
        pytest.param("#000000", "#ffffff", 21.0, id="black_on_white"),
        pytest.param("#767676", "#ffffff", 4.5422, id="the_lightest_grey_that_passes"),
        pytest.param("#777777", "#ffffff", 4.4781, id="the_next_that_fails"),
        pytest.param("#595959", "#ffffff", 7.0047, id="dark_grey"),
        pytest.param("#ff0000", "#ffffff", 3.9985, id="red"),
        pytest.param("#0000ff", "#ffffff", 8.5925, id="blue"),
        # Okabe & Ito's colours on black.
        pytest.param("#e69f00", "#000000", 9.32, id="orange_on_black"),
        pytest.param("#009e73", "#000000", 6.14, id="green_on_black"),
    ],
)


@pair
def test_contrast_is_that_of_the_guidelines(one, other, ratio):
    assert theme.contrast(one, other) == pytest.approx(ratio, abs=0.005)
    assert theme.contrast(other, one) == theme.contrast(one, other)


@pytest.mark.parametrize(("text", "ground"), theme.TEXT_PAIRS)
def test_text_can_be_read(text, ground):
    """WCAG 2.2, 1.4.3: 4.5 to 1, also for large text here."""
    assert theme.contrast(text, ground) >= 4.5


@pytest.mark.parametrize(("shape", "ground"), theme.SHAPE_PAIRS)
def test_shapes_can_be_told_from_what_is_beside_them(shape, ground):
    """WCAG 2.2, 1.4.11: 3 to 1."""
    assert theme.contrast(shape, ground) >= 3


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        pytest.param("Full", "Full", id="plain"),
        pytest.param("👶", "", id="nothing_is_left"),
        pytest.param("Bär 💪 groß", "Bär groß", id="emoji_is_left_out"),
        pytest.param("🏋️‍♀️", "♀", id="what_is_left_of_an_emoji"),
        pytest.param("קל", "קל", id="hebrew"),
        pytest.param("سهل", "سهل", id="arabic"),
        pytest.param("a\u202eb\x00c\nd", "abc d", id="controls"),
        pytest.param("e\u0301", "é", id="composed"),
        pytest.param("$x^2$", "$x^2$", id="no_formulas"),
    ],
)
def test_what_the_font_cannot_show_is_left_out(text, shown):
    assert theme.shown(text) == shown


@given(text=st.text(max_size=300), size=st.sampled_from([theme.TITLE, theme.BODY, theme.SMALL]))
@settings(max_examples=40, deadline=None)
def test_any_text_fits_into_its_room(text, size):
    figure = theme.sheet(200)

    said = theme.write(figure, (theme.MARGIN, 100), text, size=size, room=400)

    assert said.get_window_extent().width <= 400
    assert said.get_fontsize() >= theme.LEAST * 0.72 * 0.99


def test_a_long_line_is_made_smaller_before_it_is_cut():
    figure = theme.sheet(200)
    little, much = "A title of some length here", "A very long title indeed " * 8

    small = theme.write(figure, (0, 100), little, size=50, room=600)
    cut = theme.write(figure, (0, 100), much, size=50, room=600)

    assert small.get_text() == little
    assert small.get_fontsize() < 50 * 0.72
    assert cut.get_text().endswith("…")
