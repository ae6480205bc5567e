"""The programme review in a terminal and for programs."""

from __future__ import annotations

import json
import re

import numpy as np
import pytest

from bot.review_json import review_to_json
from bot.review_text import WIDTH, chart, expectation, review_text
from content.loading import DEMO, load_challenge
from content.review.review import Review, review
from content.review.simulation import Simulated
from content.score import FINISH, score_from_json
from tests.content.builders import a_rest_day, a_task
from tests.content.review.builders import a_day, a_plan, rung
from tests.content.review.test_review import MILL

DEMO_REVIEW = review(load_challenge(DEMO))
MILL_REVIEW = review(load_challenge(MILL))
CAPPED = {"score": "time", "shape": "once", "cap": "10 min"}
BLOCKS = "▁▂▃▄▅▆▇█"


def of_a_time(keys):
    task = a_task([{"movement": "push-up", "reps": 50}], **CAPPED)
    return Simulated(task, np.array(keys), np.full(len(keys), 300.0))


@pytest.mark.parametrize("found", [DEMO_REVIEW, MILL_REVIEW], ids=["demo", "mill"])
def test_every_day_and_every_finding_is_in_the_text(found):
    text = review_text(found)
    flat = re.sub(r"\s+", " ", text)

    for number, day in enumerate(found.outlook.content.days, start=1):
        assert f"Day {number} · {day.title} · " in text
    for finding in found.findings:
        assert finding.sentence in flat
        assert finding.suggestion in flat
    assert max(len(line) for line in text.splitlines()) <= WIDTH


def test_a_day_has_a_block_for_each_division():
    lines = review_text(DEMO_REVIEW).splitlines()
    at = lines.index("Day 2 · Tide going out · about 16 to 18 min from warm-up to going home")

    block = lines[at + 1 : at + 10]

    assert [line.split(":")[0].strip() for line in block[::3]] == ["Full", "Lighter", "Bodyweight"]
    assert re.fullmatch(
        r"  Full: half of them land between 5:\d\d and 7:\d\d, the middle at 6:\d\d.*",
        block[0],
    )
    assert re.fullmatch(rf" +\d:\d\d [{BLOCKS}]{{40}} \d:\d\d", block[1])
    assert re.fullmatch(r" +━+◆━+", block[2])


def test_a_lowest_round_is_called_that():
    each = DEMO_REVIEW.outlook.expected[3, "full"]

    assert expectation(each).startswith("half of their lowest rounds land between ")


def test_days_that_nobody_can_expect_say_why_once():
    text = review_text(DEMO_REVIEW)

    assert text.count("a hold depends on the person") == 1
    assert "Day 4 · Slack water · rest" in text


def test_a_clean_plan_says_so():
    day = a_day([rung("push-up", 8), rung("prone-arm-raise", 8), rung("air-squat", 12)])
    found = review(a_plan(day, a_rest_day()))

    assert found.findings == ()
    assert review_text(found).endswith("Nothing stands out.")


def test_the_gravest_findings_stand_under_their_own_heading():
    found = review(a_plan(a_day([rung("air-squat", 900)]), cautions=["Ask a doctor first."]))

    lines = review_text(found).splitlines()

    assert found.must_be_fixed
    assert "Must be fixed:" in lines


def test_the_chart_rises_and_falls_with_the_people():
    keys = np.sort(FINISH - np.random.default_rng(3).normal(400, 40, 2000).astype(int))

    bars, marks = chart(of_a_time(keys))

    heights = [BLOCKS.index(bar) for bar in bars]
    assert max(heights) == 7
    assert heights.index(7) in range(12, 28)
    assert heights[0] < 5
    assert heights[-1] < 5
    assert 17 <= marks.index("◆") <= 22


@pytest.mark.parametrize(
    ("keys", "marks"),
    [
        pytest.param([FINISH - 300] * 4, "━" * 40, id="all_alike"),
        pytest.param([30, 40, 45, 49], "", id="all_capped"),
        pytest.param([30, 40, 45, FINISH - 590, FINISH - 300], None, id="most_capped"),
    ],
)
def test_a_chart_of_any_people_is_one_line(keys, marks):
    bars, found = chart(of_a_time(keys))

    assert len(bars) == 40
    assert len(found) <= 40
    assert marks is None or found == marks


@pytest.mark.parametrize(
    ("capped", "said"),
    [
        pytest.param(0, "half of them land between 9:42 and 9:48, the middle at 9:45", id="none"),
        pytest.param(
            1,
            "half of them land between 9:43 and 9:49, the middle at 9:46; 9 % capped",
            id="a_few",
        ),
        pytest.param(5, "45 % capped; the middle is 9:50, a quarter is under 9:47", id="many"),
        pytest.param(9, "82 % capped, half of them with 12 to 18 reps", id="most"),
    ],
)
def test_the_share_that_is_capped_is_said(capped, said):
    each = DEMO_REVIEW.outlook.expected[2, "full"]
    half = [*range(10, 10 + capped), *(FINISH - 590 + n for n in range(11 - capped))]
    changed = type(each)(
        each.number, each.division, each.day, each.task,
        of_a_time(half), each.lengths_s, each.done, each.rung_work_s,
    )  # fmt: skip

    assert expectation(changed) == said


def test_json_has_every_day_week_and_finding_with_its_numbers():
    found = json.loads(json.dumps(review_to_json(DEMO_REVIEW)))

    assert found["title"] == "Seven Mornings on the Quay"
    assert found["must_be_fixed"] is False
    assert [day["kind"] for day in found["days"]] == ["workout"] * 3 + ["rest"] + ["workout"] * 3
    assert [week["division"] for week in found["weeks"]] == ["full", "lighter", "bodyweight"]
    assert [finding["id"] for finding in found["findings"]] == [
        finding.id for finding in DEMO_REVIEW.findings
    ]
    first = found["findings"][0]
    assert first["numbers"].keys() == {"full_s", "lighter_s", "bodyweight_s"}


def test_scores_in_json_are_those_of_a_reading():
    found = review_to_json(DEMO_REVIEW)

    for day in found["days"]:
        for division in day.get("divisions", []):
            for score in division.get("expected", {}).values():
                assert score_from_json(score)


@pytest.mark.parametrize("found", [DEMO_REVIEW, MILL_REVIEW], ids=["demo", "mill"])
def test_every_key_of_the_json_is_in_the_readme(found):
    def keys(value):
        if isinstance(value, dict):
            for key, inner in value.items():
                if key not in {"numbers", "expected", "work_s"}:
                    yield from keys(inner)
                yield key
        elif isinstance(value, list):
            for inner in value:
                yield from keys(inner)

    readme = (MILL.parents[2] / "README.md").read_text(encoding="utf-8")
    section = readme.partition("### Review as JSON")[2].partition("\n## ")[0]

    assert {key for key in keys(review_to_json(found)) if f"`{key}`" not in section} == set()


def test_the_example_in_the_readme_is_what_is_printed():
    readme = (MILL.parents[2] / "README.md").read_text(encoding="utf-8")
    section = readme.partition("## Review a challenge")[2].partition("### Review as JSON")[0]
    example = section.split("```")[3].strip("\n").splitlines()
    printed = review_text(DEMO_REVIEW).splitlines()

    assert len(example) > 8
    assert [line for line in example if line != "..." and line not in printed] == []


def test_a_review_of_rest_days_only_is_no_trouble():
    found = review(a_plan(a_rest_day()))

    assert isinstance(found, Review)
    assert review_to_json(found)["days"] == [{"day": 1, "kind": "rest", "title": "Rest"}]
    assert "Day 1 · Rest · rest" in review_text(found)
