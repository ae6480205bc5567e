"""The picture of a day: there, readable, and not broken by any name."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from matplotlib.image import imread

from bot.pictures import theme
from bot.pictures.review_picture import day_picture, pictures
from content.loading import DEMO, load_challenge
from content.review.outlook import look_ahead
from content.review.people import draw
from tests.content.builders import a_rest_day
from tests.content.review.builders import a_day, an_outlook, rung

CONTENT = load_challenge(DEMO)
OUTLOOK = look_ahead(CONTENT, draw(many=500))
GOLDEN = Path(__file__).parent / "day-1.png"
WORK = [rung("push-up", 8), rung("air-squat", 12)]


def pixels(picture):
    """Height x width x 3, 0 to 1."""
    return imread(BytesIO(picture), format="png")[:, :, :3]


def share_of(image, colour):
    """The share of an image's pixels that have just this colour."""
    wanted = np.array([int(colour[place : place + 2], 16) for place in (1, 3, 5)])
    return float(np.all(np.round(image * 255) == wanted, axis=2).mean())


def named(*names: str, title="A day"):
    """The picture of a day with divisions of these names."""
    day = a_day(*[WORK] * len(names)).model_copy(update={"title": title})
    outlook = an_outlook(day)
    divisions = [
        division.model_copy(update={"name": name})
        for division, name in zip(outlook.divisions, names, strict=True)
    ]
    head = outlook.content.head.model_copy(update={"divisions": tuple(divisions)})
    content = outlook.content.model_copy(update={"head": head})
    return day_picture(look_ahead(content, draw(many=200)), 1)


@pytest.mark.parametrize("number", [1, 2, 3, 6, 7])
def test_a_day_is_as_wide_as_a_phone_and_not_blank(number):
    image = pixels(day_picture(OUTLOOK, number))

    assert image.shape[1] == theme.WIDTH
    assert image.shape[0] == 1600
    assert 0.5 < share_of(image, theme.PAPER) < 0.95
    assert share_of(image, theme.STRONG) > 0.01
    assert share_of(image, theme.PALE) > 0.01
    assert share_of(image, theme.MARK) > 0.001


def test_nothing_touches_the_edge():
    image = np.round(pixels(day_picture(OUTLOOK, 2)) * 255)
    paper = image[0, 0]

    for edge in (image[:8], image[-8:], image[:, :8].swapaxes(0, 1), image[:, -8:]):
        assert np.all(edge == paper)


@pytest.mark.parametrize("day", [a_rest_day(), a_day([rung("plank")], score="hold", shape="open")])
def test_a_day_without_expected_scores_has_no_picture(day):
    assert day_picture(an_outlook(day, a_day(WORK)), 1) is None


@pytest.mark.parametrize(
    ("names", "title"),
    [
        pytest.param(("Stark 💪🏽🔥", "👶"), "Tag der 🌊", id="emoji"),
        pytest.param(("كامل", "קל יותר"), "יום ראשון", id="right_to_left"),
        pytest.param(("全部", "轻松"), "第一天", id="no_sign_in_the_font"),
        pytest.param(("W" * 400, "i" * 400), "Long and longer " * 25, id="very_long"),
        pytest.param(("$\\frac{1}{2}$", "<b>&amp;"), "{x} %s _y_", id="markup"),
    ],
)
def test_any_name_makes_a_picture(names, title):
    image = pixels(named(*names, title=title))

    assert image.shape[:2] == (1200, theme.WIDTH)
    edges = np.concatenate([image[:, :8], image[:, -8:]], axis=1)
    assert share_of(edges, theme.PAPER) == 1


@pytest.mark.parametrize(
    "cap", [pytest.param("1 min", id="all_capped"), pytest.param("7 min", id="many_capped")]
)
def test_capped_people_make_a_picture_too(cap):
    rungs = [rung("push-up", 60), rung("air-squat", 100)]
    outlook = an_outlook(a_day(rungs, score="time", shape="once", cap=cap))

    assert pixels(day_picture(outlook, 1)).shape[1] == theme.WIDTH


def test_every_day_with_expected_scores_gets_a_file():
    assert [name for name, _ in pictures(OUTLOOK)] == [f"day-{n}.png" for n in (1, 2, 3, 6, 7)]


def test_the_same_day_is_the_same_picture():
    assert day_picture(OUTLOOK, 1) == day_picture(OUTLOOK, 1)


def test_the_first_day_looks_as_it_was_approved():
    """A small change of the font's drawing passes, a moved or missing part does not.

    After a wanted change: `python -m tests.bot.pictures.test_review_picture` writes it anew.
    """
    golden, image = pixels(GOLDEN.read_bytes()), pixels(day_picture(OUTLOOK, 1))

    assert image.shape == golden.shape
    assert blocks(np.abs(image - golden)).max() < 0.1


def blocks(image, size=40):
    """The means of squares of pixels."""
    height, width, _ = image.shape
    return image.mean(axis=2).reshape(height // size, size, width // size, size).mean(axis=(1, 3))


if __name__ == "__main__":
    GOLDEN.write_bytes(day_picture(OUTLOOK, 1) or b"")
