"""One picture of a day: what every division's people are expected to score."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from matplotlib.patches import Polygon

from bot.pictures import theme
from bot.score_text import score_text
from content.review.outlook import Outlook
from content.review.score_words import percent
from content.review.shape import Shape, shape_of
from content.review.simulation import Simulated
from content.score import Capped, Finished, ScoreKind
from content.units import clock_text

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_HEAD = 210
_PANEL = 400
_FOOT = 190
_CURVE = 190  # pixels high
_TALLEST = 1.22  # of the curve's own height; the pin's room
_POINTS = 240
_EDGE = 0.01  # the widest hundredth on either side is left off the scale
_STEPS_S = (15, 30, 60, 120, 300, 600, 900, 1800, 3600)
_STEPS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000)
_MOST_TICKS = 6
_WORTH_SAYING = 0.01
_LABEL = 0.06  # half of what a label takes of the scale's width


@dataclass(frozen=True, eq=False)
class _Panel:
    """One division's place on the picture."""

    name: str
    shape: Shape


def day_picture(outlook: Outlook, number: int) -> bytes | None:
    """Draw a day as a PNG; None for a day without expected scores."""
    panels = [
        _Panel(each.division.name, shape_of(each.scores))
        for each in outlook.of_day(number)
        if isinstance(each.scores, Simulated)
    ]
    if not panels:
        return None
    height = _HEAD + _PANEL * len(panels) + _FOOT
    figure = theme.sheet(height)
    _head(figure, height, number, outlook)
    low, high = _range(panels)
    for place, panel in enumerate(panels):
        top = height - _HEAD - _PANEL * place
        _words(figure, top, panel, place)
        _curve(figure, top - 136 - _CURVE, panel, (low, high))
    _foot(figure, panels[0], (low, high))
    return theme.png(figure)


def pictures(outlook: Outlook) -> Iterator[tuple[str, bytes]]:
    """Draw every day that has expected scores; gives file names and files."""
    for number, _, _ in outlook.workout_days():
        picture = day_picture(outlook, number)
        if picture is not None:
            yield f"day-{number}.png", picture


def _head(figure: Figure, height: int, number: int, outlook: Outlook) -> None:
    title = outlook.content.days[number - 1].title
    kind = outlook.of_day(number)[0].task.workout.score
    lowest = " in their lowest round" if kind is ScoreKind.LOWEST_ROUND else ""
    theme.write(
        figure,
        (theme.MARGIN, height - 90),
        f"Day {number} · {title}",
        size=theme.TITLE,
        bold=True,
    )
    theme.write(
        figure,
        (theme.MARGIN, height - 150),
        f"What people are expected to score{lowest}",
        colour=theme.QUIET,
    )


def _words(figure: Figure, top: float, panel: _Panel, place: int) -> None:
    scores = panel.shape.scores
    name = theme.shown(panel.name, bold=True) or f"Division {place + 1}"
    theme.write(
        figure, (theme.MARGIN, top - 44), name, size=theme.HEADING, colour=theme.STRONG, bold=True
    )
    theme.write(figure, (theme.MARGIN, top - 96), _half(scores))


def _half(scores: Simulated) -> str:
    """Say what the middle half of the people score."""
    worse, better = scores.at(0.25), scores.at(0.75)
    stopped = f"{percent(scores.capped_share)} stopped by the cap"
    if isinstance(better, Capped):
        return stopped
    if isinstance(worse, Capped):
        return f"{stopped} · a quarter under {score_text(better)}"
    if isinstance(worse, Finished):
        worse, better = better, worse  # times are told from the shorter one
    low, high = score_text(worse), score_text(better)
    said = f"Half of the people: {low}" if low == high else f"Half of the people: {low} to {high}"
    return f"{said} · {stopped}" if scores.capped_share >= _WORTH_SAYING else said


def _curve(figure: Figure, bottom: float, panel: _Panel, span: tuple[float, float]) -> None:
    """Draw the curve with its middle half dark and outlined, and the middle as a pin."""
    axes = _axes(figure, bottom, span)
    for value, _ in _ticks(panel, span):
        axes.plot([value, value], [0, 1], color=theme.PALE, linewidth=2, linestyle=(0, (2, 3)))
    places = np.linspace(*span, _POINTS)
    heights = panel.shape.heights(places)
    axes.fill_between(places, heights, color=theme.PALE, linewidth=0, zorder=2)
    worse, middle, better = (panel.shape.at(share) for share in (0.25, 0.5, 0.75))
    if better is not None:
        # A lower quarter that the cap stopped lies left of everything on the scale.
        inside = np.linspace(span[0] if worse is None else worse, better, _POINTS)
        tall = np.interp(inside, places, heights)
        axes.fill_between(inside, tall, color=theme.STRONG, linewidth=0, zorder=3)
    axes.plot(places, heights, color=theme.QUIET, linewidth=2.5, zorder=4)
    axes.axhline(0, color=theme.QUIET, linewidth=2.5, zorder=4)
    if middle is not None:
        _pin(figure, axes, bottom, panel, middle)


def _pin(figure: Figure, axes: Axes, bottom: float, panel: _Panel, middle: float) -> None:
    low, high = axes.get_xlim()
    wide = (high - low) * 0.013
    for colour, width in ((theme.PAPER, 10), (theme.MARK, 4)):  # light beside it on the dark
        axes.plot(
            [middle] * 2, [0, 1.06], color=colour, linewidth=width, solid_capstyle="butt", zorder=5
        )
    tip = [(middle - wide, _TALLEST), (middle + wide, _TALLEST), (middle, 1.06)]
    axes.add_patch(Polygon(tip, facecolor=theme.MARK, zorder=5))
    share = (middle - low) / (high - low)
    right = share < 0.55  # noqa: PLR2004 - the words stand where there is more room
    across = theme.MARGIN + share * (theme.WIDTH - 2 * theme.MARGIN)
    theme.write(
        figure,
        (across + (24 if right else -24), bottom + _CURVE - 24),
        f"the middle: {score_text(panel.shape.scores.at(0.5))}",
        size=theme.SMALL,
        colour=theme.MARK,
        bold=True,
        align="left" if right else "right",
        room=500,
    )


def _axes(figure: Figure, bottom: float, span: tuple[float, float]) -> Axes:
    side, height = theme.MARGIN / theme.WIDTH, theme.height_of(figure)
    axes = figure.add_axes((side, bottom / height, 1 - 2 * side, _CURVE / height))
    axes.set_axis_off()
    axes.set_xlim(*span)
    axes.set_ylim(0, _TALLEST)
    return axes


def _foot(figure: Figure, first: _Panel, span: tuple[float, float]) -> None:
    """Write the common scale, which way is better, and what the dark part is."""
    inside = theme.WIDTH - 2 * theme.MARGIN
    for value, label in _ticks(first, span):
        share = (value - span[0]) / (span[1] - span[0])
        if _LABEL <= share <= 1 - _LABEL:
            across = theme.MARGIN + share * inside
            _small(figure, (across, _FOOT + 6), label, align="center", room=170)
    timed = first.shape.scores.task.workout.score is ScoreKind.TIME
    worse, better = ("slower", "faster") if timed else ("less", "more")
    _small(figure, (theme.MARGIN, _FOOT - 48), f"← {worse}", room=300)
    _small(
        figure, (theme.WIDTH - theme.MARGIN, _FOOT - 48), f"{better} →", align="right", room=300
    )
    theme.block(figure, (theme.MARGIN, 58), (38, 30), theme.STRONG)
    _small(figure, (theme.MARGIN + 54, 62), "dark: the middle half of the people")


def _small(
    figure: Figure,
    at: tuple[float, float],
    text: str,
    *,
    align: str = "left",
    room: float = theme.WIDTH - 2 * theme.MARGIN,
) -> None:
    theme.write(figure, at, text, size=theme.SMALL, colour=theme.QUIET, align=align, room=room)


def _range(panels: Sequence[_Panel]) -> tuple[float, float]:
    every = [panel.shape.values for panel in panels if panel.shape.values.size]
    if not every:
        return 0.0, 1.0
    low = min(float(np.quantile(values, _EDGE)) for values in every)
    high = max(float(np.quantile(values, 1 - _EDGE)) for values in every)
    beside = max((high - low) * 0.04, 0.5)
    return low - beside, high + beside


def _ticks(panel: _Panel, span: tuple[float, float]) -> Iterator[tuple[float, str]]:
    kind = panel.shape.scores.task.workout.score
    steps = _STEPS_S if kind is ScoreKind.TIME else _STEPS
    step = next((s for s in steps if (span[1] - span[0]) / s <= _MOST_TICKS), steps[-1])
    for number in range(int(np.ceil(span[0] / step)), int(np.floor(span[1] / step)) + 1):
        yield number * step, _label(kind, number * step)


def _label(kind: ScoreKind, value: int) -> str:
    match kind:
        case ScoreKind.TIME:
            return clock_text(-value)
        case ScoreKind.ROUNDS_AND_REPS:
            return "1 round" if value == 1 else f"{value} rounds"
        case ScoreKind.DISTANCE:
            return f"{value} m"
        case _:
            return f"{value} reps"
