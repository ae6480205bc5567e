"""How our pictures look: a few colours that everybody can tell apart, big type, one width.

Colour never says anything alone: whatever it marks has a shape, a line or words as well.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from io import BytesIO
from typing import TYPE_CHECKING

from matplotlib import font_manager
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.ft2font import FT2Font
from matplotlib.patches import Rectangle

if TYPE_CHECKING:
    from matplotlib.text import Text

WIDTH = 1080  # pixels; fills a phone held upright
MARGIN = 60
_DPI = 100
_POINTS = 72 / _DPI  # of one pixel

PAPER = "#fbf8f1"
INK = "#1f2a33"
QUIET = "#55616b"
STRONG = "#0b5a6b"
PALE = "#bcd6da"
MARK = "#a8430f"

# Text on what it stands on, and shapes beside what they must be told from.
TEXT_PAIRS = ((INK, PAPER), (QUIET, PAPER), (STRONG, PAPER), (MARK, PAPER))
SHAPE_PAIRS = ((STRONG, PAPER), (STRONG, PALE), (MARK, PAPER), (QUIET, PAPER), (QUIET, PALE))

TITLE, HEADING, BODY, SMALL = 50, 42, 34, 28  # pixels
LEAST = 22  # smaller cannot be read on a phone
_VARIATIONS = re.compile("[\ufe00-\ufe0f]")  # ask for another drawing of the sign before
_FAMILY = "DejaVu Sans"  # comes with the library: the same on every machine


def contrast(one: str, other: str) -> float:
    """Give the contrast ratio of two colours "#rrggbb", 1 to 21.

    Source: WCAG 2.2, definitions of contrast ratio and relative luminance.
    """
    darker, lighter = sorted((_luminance(one), _luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(colour: str) -> float:
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4  # noqa: PLR2004
        for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def sheet(height: int) -> Figure:
    """Give an empty picture; its coordinates are pixels from the lower left corner."""
    figure = Figure(figsize=(WIDTH / _DPI, height / _DPI), dpi=_DPI, facecolor=PAPER)
    FigureCanvasAgg(figure)
    return figure


def png(figure: Figure) -> bytes:
    """Give the picture as a file."""
    file = BytesIO()
    # Without metadata the same picture is the same bytes, whatever the library's version.
    figure.savefig(file, format="png", metadata={"Software": None})
    return file.getvalue()


def height_of(figure: Figure) -> float:
    """Give a picture's height in pixels."""
    return float(figure.get_size_inches()[1]) * _DPI


def block(figure: Figure, at: tuple[float, float], size: tuple[float, float], colour: str) -> None:
    """Draw a filled rectangle, all in pixels from the lower left corner."""
    height = height_of(figure)
    figure.add_artist(
        Rectangle(
            (at[0] / WIDTH, at[1] / height),
            size[0] / WIDTH,
            size[1] / height,
            facecolor=colour,
            transform=figure.transFigure,
        )
    )


def write(
    figure: Figure,
    at: tuple[float, float],
    text: str,
    *,
    size: float = BODY,
    colour: str = INK,
    bold: bool = False,
    align: str = "left",
    room: float = WIDTH - 2 * MARGIN,
) -> Text:
    """Write one line on a picture, smaller or cut where it does not fit.

    Args:
        figure: From `sheet`.
        at: Pixels from the lower left corner; the baseline.
        text: From outside too; what the font cannot show is left out.
        size: Pixels.
        colour: "#rrggbb".
        bold: Heavier.
        align: "left", "center" or "right" of `at`.
        room: Pixels that it may take.
    """
    said = figure.text(
        at[0] / WIDTH,
        at[1] / height_of(figure),
        shown(text, bold=bold),
        color=colour,
        fontproperties=FontProperties(family=_FAMILY, weight="bold" if bold else "normal"),
        fontsize=size * _POINTS,
        horizontalalignment=align,
        verticalalignment="baseline",
        parse_math=False,
    )
    _fit(said, room, size)
    return said


def _fit(said: Text, room: float, size: float) -> None:
    """Make a line smaller until it fits; at the least size cut it."""
    width = said.get_window_extent().width
    if width <= room:
        return
    said.set_fontsize(max(LEAST, size * room / width * 0.99) * _POINTS)
    text = said.get_text()
    while text and said.get_window_extent().width > room:
        text = text[: -max(1, len(text) // 20)].rstrip()
        said.set_text(f"{text}…")


def shown(text: str, *, bold: bool = False) -> str:
    """Leave out what the font cannot show (emoji, some scripts) and what is no printed sign."""
    known = _signs(bold=bold)
    kept = "".join(
        " " if sign.isspace() else sign
        for sign in _VARIATIONS.sub("", unicodedata.normalize("NFC", text))
        if sign.isspace() or (ord(sign) in known and unicodedata.category(sign)[0] != "C")
    )
    return " ".join(kept.split())


@cache
def _signs(*, bold: bool) -> frozenset[int]:
    weight = "bold" if bold else "normal"
    file = font_manager.findfont(FontProperties(family=_FAMILY, weight=weight))
    return frozenset(FT2Font(file).get_charmap())
