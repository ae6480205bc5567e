"""Challenge folders: what loads, and what is said about what does not."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from pydantic import TypeAdapter

from content.challenge import Challenge, RestDay, WorkoutDay
from content.day_file import movements_yaml
from content.errors import ContentInvalid, UnknownDivision
from content.loading import (
    DEMO,
    assemble,
    load_challenge,
    load_day,
    load_shipped,
    movement_library,
    own_movements,
)
from content.movement import Kit
from content.texts import Counted


@pytest.fixture
def folder(tmp_path):
    """A copy of the demo to break."""
    return Path(shutil.copytree(DEMO, tmp_path / "challenge"))


def rewrite(file, old, new):
    text = file.read_text(encoding="utf-8")
    assert text.count(old) >= 1, f"{old!r} is not in {file.name}"
    file.write_text(text.replace(old, new, 1), encoding="utf-8")


def problems_of(folder):
    with pytest.raises(ContentInvalid) as info:
        load_challenge(folder)
    return info.value.problems


def test_the_demo_loads():
    demo = load_challenge(DEMO)

    assert [type(day) for day in demo.days] == [WorkoutDay] * 3 + [RestDay] + [WorkoutDay] * 3
    assert [division.id for division in demo.head.divisions] == ["full", "lighter", "bodyweight"]
    assert demo.head.zone.key == "Europe/Lisbon"


def test_a_challenge_brings_the_movements_its_options_lead_to():
    demo = load_challenge(DEMO)

    led_to = {o.movement for m in demo.movements.values() for o in m.options if o.movement}

    assert led_to <= demo.movements.keys()
    assert len(demo.movements) < len(movement_library())


def test_a_challenge_comes_back_from_json_as_it_was():
    demo = load_challenge(DEMO)

    assert Challenge.model_validate_json(demo.model_dump_json()) == demo


def test_an_unknown_division_is_named_with_those_there_are():
    demo = load_challenge(DEMO)

    with pytest.raises(UnknownDivision) as info:
        demo.division("heavy")

    assert info.value.division == "heavy"
    assert info.value.known == ("full", "lighter", "bodyweight")


# (file, old, new), then where it is found and what is said.
BROKEN = [
    pytest.param(
        ("day-1.yaml", "window: 14 min", "windw: 14 min"),
        (11, "workout.windw", "unknown key 'windw'; did you mean window"),
        id="unknown_key",
    ),
    pytest.param(
        ("day-1.yaml", "push-up, reps: 8", "push-up, repz: 8"),
        (16, "workout.divisions.full.rungs.0.repz", "did you mean reps?"),
        id="unknown_key_of_a_rung",
    ),
    pytest.param(
        ("day-1.yaml", "title: Round", "colour: blue\ntitle: Round"),
        (2, "colour", "unknown key 'colour'; known: "),
        id="unknown_key_of_a_day",
    ),
    pytest.param(
        ("challenge.yaml", "make_up_days: 1", "makeup_days: 1"),
        (20, "makeup_days", "did you mean make_up_days"),
        id="unknown_key_of_the_head",
    ),
    pytest.param(
        ("day-1.yaml", "movement: goblet-squat", "movement: goblet-sqat"),
        (19, "workout.divisions.full.rungs.3.movement", "did you mean goblet-squat"),
        id="unknown_movement",
    ),
    pytest.param(
        ("day-1.yaml", "[march,", "[marhc,"),
        (7, "warm_up.movements.0", "unknown movement 'marhc'; did you mean march?"),
        id="unknown_movement_in_the_warm_up",
    ),
    pytest.param(
        ("day-1.yaml", "    lighter:", "    lightr:"),
        (21, "workout.divisions.lightr", "unknown division 'lightr'; did you mean lighter?"),
        id="unknown_division",
    ),
    pytest.param(
        ("day-1.yaml", "    lighter:", "    Light One:"),
        (21, "workout.divisions.Light One", "small letters, digits and hyphens"),
        id="division_id_with_a_space",
    ),
    pytest.param(
        ("day-1.yaml", "push-up, reps: 8", "push-up, reps: eight"),
        (16, "workout.divisions.full.rungs.0.reps", "a whole number, not 'eight'"),
        id="word_for_a_number",
    ),
    pytest.param(
        ("day-1.yaml", "push-up, reps: 8", "push-up, reps: 8.5"),
        (16, "workout.divisions.full.rungs.0.reps", "a whole number, not 8.5"),
        id="half_a_repetition",
    ),
    pytest.param(
        ("day-1.yaml", "push-up, reps: 8", "push-up, reps: 0"),
        (16, "workout.divisions.full.rungs.0.reps", "greater than or equal to 1, not 0"),
        id="no_repetitions",
    ),
    pytest.param(
        ("day-1.yaml", "push-up, reps: 8", "push-up, reps: 8, metres: 3"),
        (16, "workout.divisions.full.rungs.0", "one count, not 2: reps, metres"),
        id="two_counts",
    ),
    pytest.param(
        ("day-1.yaml", "push-up, reps: 8", "push-up"),
        (8, "workout", "push-up needs a count: reps, metres, seconds or calories"),
        id="no_count",
    ),
    pytest.param(
        ("day-1.yaml", "title: Round the bollards", "title: 7"),
        (2, "title", "text, not 7; put it in quotes"),
        id="number_for_a_text",
    ),
    pytest.param(
        ("day-1.yaml", "movements: [march,", "movements: march # ["),
        (7, "warm_up.movements", "a list such as [one, two], not 'march'"),
        id="word_for_a_list",
    ),
    pytest.param(
        ("day-1.yaml", "warm_up:\n  work: 45 s", "warm_up:\n  work: soon"),
        (5, "warm_up.work", """a duration such as "12 min", "45 s" or "12:30", not 'soon'"""),
        id="bad_duration",
    ),
    pytest.param(
        ("day-1.yaml", "window: 14 min", "window: 14"),
        (11, "workout.window", """a duration such as "12 min", "45 s" or "12:30", not 14"""),
        id="duration_without_a_unit",
    ),
    pytest.param(
        ("day-1.yaml", "window: 14 min", "window: 12:75"),
        (11, "workout.window", """a duration such as "12 min", "45 s" or "12:30", not '12:75'"""),
        id="clock_of_75_seconds",
    ),
    pytest.param(
        ("day-1.yaml", "window: 14 min", "window: 1:75:00"),
        (11, "workout.window", """or "12:30", not '1:75:00'"""),
        id="clock_of_75_minutes_in_an_hour",
    ),
    pytest.param(
        ("day-3.yaml", "rest: 35 s", "rest: 35"),
        (11, "workout.intervals.rest", """or "12:30", not 35"""),
        id="rest_without_a_unit",
    ),
    pytest.param(
        ("day-1.yaml", "window: 14 min", "window: 0 min"),
        (11, "workout.window", "greater than 0, not '0 min'"),
        id="duration_of_nothing",
    ),
    pytest.param(
        ("day-1.yaml", "load: 16 kg", "load: 2 stone"),
        (
            18,
            "workout.divisions.full.rungs.2.load",
            """a load such as "24 kg", "2 x 15 kg" or "53 lb", not '2 stone'""",
        ),
        id="bad_load",
    ),
    pytest.param(
        ("challenge.yaml", "Europe/Lisbon", "Lisbon"),
        (2, "time_zone", """a time zone name such as "Europe/Lisbon", not 'Lisbon'"""),
        id="bad_time_zone",
    ),
    pytest.param(
        ("challenge.yaml", '"05:45"', '"24:00"'),
        (19, "times.close", """a time of day such as "06:00", not '24:00'"""),
        id="bad_time_of_day",
    ),
    pytest.param(
        ("challenge.yaml", '"05:45"', '"06:00"'),
        (17, "times", "`close` must differ from `post`, both are 06:00"),
        id="closes_as_it_opens",
    ),
    pytest.param(
        ("challenge.yaml", "language: en", "language: xx"),
        (3, "language", "must be 'en', not 'xx'"),
        id="unknown_language",
    ),
    pytest.param(
        ("challenge.yaml", "name: Lighter", "name: full"),
        (4, "divisions", "each division needs its own id and name, 'full' is there twice"),
        id="two_divisions_of_one_name",
    ),
    pytest.param(
        ("day-2.yaml", "  scheme: [22, 16, 10]\n", ""),
        (8, "workout", "division full: shape scheme needs a `scheme` such as [24, 18, 12]"),
        id="scheme_missing",
    ),
    pytest.param(
        ("day-7.yaml", "  step: 2\n", ""),
        (8, "workout", "division full: shape climb needs a `step`"),
        id="step_missing",
    ),
    pytest.param(
        ("day-1.yaml", "  window: 14 min\n", ""),
        (8, "workout", "rounds_and_reps needs a `window` and shape repeat or climb"),
        id="window_missing",
    ),
    pytest.param(
        ("day-1.yaml", "shape: repeat", "shape: open"),
        (8, "workout", "rounds_and_reps needs a `window` and shape repeat or climb"),
        id="score_does_not_fit_the_shape",
    ),
    pytest.param(
        ("day-1.yaml", "score: rounds_and_reps", "score: rounds"),
        (9, "workout.score", "must be 'rounds_and_reps', 'time'"),
        id="unknown_score",
    ),
    pytest.param(
        ("day-3.yaml", "  intervals: {rounds: 6, work: 40 s, rest: 35 s}\n", ""),
        (8, "workout", "lowest_round needs `intervals`"),
        id="intervals_missing",
    ),
    pytest.param(
        ("day-2.yaml", "{movement: step-up}", "{movement: run, metres: 100, every: 30}"),
        (18, "workout.divisions.full.rungs.1", "100 is not a multiple of every: 30"),
        id="part_of_every",
    ),
    pytest.param(
        ("day-1.yaml", "push-up, reps: 8", "push-up, reps: 8, each_side: true"),
        (
            16,
            "workout.divisions.full.rungs.0.each_side",
            "push-up is not done one side at a time",
        ),
        id="each_side_of_a_movement_with_one",
    ),
    pytest.param(
        ("day-1.yaml", "cautions:\n", "notes:\n"),
        (1, "cautions", "missing"),
        id="cautions_missing",
    ),
    pytest.param(
        ("day-4.yaml", "kind: rest\n", ""),
        (1, "kind", "missing `kind`: workout or rest"),
        id="kind_missing",
    ),
    pytest.param(
        ("day-4.yaml", "kind: rest", "kind: resting"),
        (1, "kind", "`kind` must be workout or rest, not 'resting'"),
        id="unknown_kind",
    ),
    pytest.param(
        ("day-1.yaml", "  shape: repeat\n", "  shape: repeat\n  shape: climb\n"),
        (11, "workout.shape", "said twice"),
        id="key_said_twice",
    ),
    pytest.param(
        ("day-1.yaml", "  shape: repeat\n", "\tshape: repeat\n"),
        (10, "", "indent with spaces"),
        id="tab",
    ),
    pytest.param(
        ("day-1.yaml", "title: Round the bollards\n", "title: &it Round\nmessage: *it\n"),
        (3, "", "aliases (*name) are not used; write the value out"),
        id="alias",
    ),
    pytest.param(
        ("day-1.yaml", "title: Round the bollards", "title: !!python/name:os.system x"),
        (2, "", "tags such as tag:yaml.org,2002:python/name:os.system are not used here"),
        id="tag",
    ),
    pytest.param(
        ("day-1.yaml", "title: Round the bollards", "title: [Round"),
        (3, "", "not valid YAML: "),
        id="bracket_left_open",
    ),
]


@pytest.mark.parametrize(("change", "expected"), BROKEN)
def test_a_mistake_is_told_with_its_line_its_field_and_what_would_be_right(
    folder, change, expected
):
    name, old, new = change
    line, field, message = expected
    rewrite(folder / name, old, new)

    problems = problems_of(folder)

    told = [p for p in problems if (p.file, p.line, p.field) == (folder / name, line, field)]
    assert any(message in p.message for p in told), [str(p) for p in problems]
    assert str(told[0]).startswith(f"{folder / name}:{line}: ")


@pytest.mark.parametrize(
    ("content", "message"),
    [
        pytest.param(b"", "the file is empty", id="empty"),
        pytest.param(b"# only a comment\n", "the file is empty", id="only_a_comment"),
        pytest.param(b"kind: rest\ntitle: caf\xe9\n", "not UTF-8 text (byte 21)", id="not_utf8"),
        pytest.param(b"kind: rest\x00\n", "not valid YAML: ", id="zero_byte"),
        pytest.param(b"# " + b"x" * 300_000, "larger than 256 KiB", id="too_large"),
        pytest.param(b"a: " + b"[" * 90_000, "nested more than 20 levels", id="nested_too_deeply"),
        pytest.param(b"just words\n", "lines of `key: value`", id="words"),
        pytest.param(b"- one\n- two\n", "lines of `key: value`", id="list"),
        pytest.param(b"kind: rest\n---\nkind: rest\n", "another document", id="two_documents"),
        pytest.param(b"? [a, b]\n: c\n", "a key must be a plain word", id="list_for_a_key"),
    ],
)
def test_a_file_that_is_no_day_is_refused(folder, content, message):
    (folder / "day-1.yaml").write_bytes(content)

    [problem] = problems_of(folder)

    assert problem.file == folder / "day-1.yaml"
    assert message in problem.message
    assert "\n" not in str(problem)


def test_a_division_that_a_day_leaves_out_is_missing(folder):
    file = folder / "day-5.yaml"
    text = file.read_text()
    file.write_text(re.sub(r" {4}lighter:\n.*\n.*\n", "", text))

    [problem] = problems_of(folder)

    assert (problem.line, problem.field) == (12, "workout.divisions")
    assert problem.message == "the division lighter of challenge.yaml is missing"


def test_a_missing_day_is_named(folder):
    (folder / "day-3.yaml").unlink()
    (folder / "day-6.yaml").unlink()

    assert [(p.file.name, p.message) for p in problems_of(folder)] == [
        ("day-3.yaml", "there is no such file; days count from 1"),
        ("day-6.yaml", "there is no such file; days count from 1"),
    ]


def test_more_days_than_a_challenge_may_have_are_named(folder):
    for number in range(8, 63):
        shutil.copy(folder / "day-4.yaml", folder / f"day-{number}.yaml")

    assert [(p.file.name, p.message) for p in problems_of(folder)] == [
        ("day-61.yaml", "a challenge has at most 60 days"),
        ("day-62.yaml", "a challenge has at most 60 days"),
    ]
    (folder / "day-61.yaml").unlink()
    (folder / "day-62.yaml").unlink()
    assert len(load_challenge(folder).days) == 60


def test_a_day_file_far_off_does_not_make_all_days_before_it_missing(folder):
    shutil.copy(folder / "day-4.yaml", folder / "day-500.yaml")

    assert [(p.file.name, p.message) for p in problems_of(folder)] == [
        ("day-500.yaml", "a challenge has at most 60 days")
    ]


@pytest.mark.parametrize("name", ["day8.yaml", "day-8.yml", "day-08.yaml", "day-0.yaml"])
def test_a_day_file_of_another_name_is_not_overlooked(folder, name):
    shutil.copy(folder / "day-1.yaml", folder / name)

    [problem] = problems_of(folder)

    assert problem.file == folder / name
    assert "day-1.yaml, day-2.yaml" in problem.message


def test_other_files_in_the_folder_do_not_matter(folder):
    (folder / "notes.txt").write_text("bring water")
    (folder / "plan.yaml").write_text("- anything")

    assert load_challenge(folder) == load_challenge(DEMO)


def test_a_folder_without_a_head_or_without_days_is_refused(folder, tmp_path):
    (folder / "challenge.yaml").unlink()
    empty = tmp_path / "empty"
    empty.mkdir()

    assert [str(p) for p in problems_of(folder)] == [
        f"{folder / 'challenge.yaml'}: there is no such file"
    ]
    assert {p.file.name for p in problems_of(empty)} == {"challenge.yaml", "day-1.yaml"}
    assert {p.message for p in problems_of(tmp_path / "nowhere")} >= {"there is no such folder"}


def test_every_mistake_of_every_file_is_told_in_one_run(folder):
    rewrite(folder / "challenge.yaml", "Europe/Lisbon", "Nowhere")
    rewrite(folder / "day-1.yaml", "window: 14 min", "window: long")
    rewrite(folder / "day-1.yaml", "movement: burpee", "movement: burpees")
    rewrite(folder / "day-1.yaml", "load: 16 kg", "load: heavy")
    rewrite(folder / "day-3.yaml", "kind: workout", "kind: work")
    rewrite(folder / "day-7.yaml", "[march,", "[hum,")

    told = {(p.file.name, p.field) for p in problems_of(folder)}

    assert told == {
        ("challenge.yaml", "time_zone"),
        ("day-1.yaml", "workout.window"),
        ("day-1.yaml", "workout.divisions.full.rungs.4.movement"),
        ("day-1.yaml", "workout.divisions.full.rungs.2.load"),
        ("day-3.yaml", "kind"),
        ("day-7.yaml", "warm_up.movements.0"),
    }


@pytest.mark.parametrize(
    ("said", "title"),
    [
        pytest.param("yes", "yes", id="yes"),
        pytest.param("no", "no", id="no"),
        pytest.param("on", "on", id="on"),
        pytest.param("12:30", "12:30", id="no_base_sixty"),
        pytest.param("2026-03-02", "2026-03-02", id="no_date"),
        pytest.param("1e3", "1e3", id="no_exponent"),
        pytest.param("0x1f", "0x1f", id="no_hexadecimal"),
        pytest.param("1_000", "1_000", id="no_underscores"),
        pytest.param("'7'", "7", id="quoted_number"),
        pytest.param("Füße & Ärmel 💪", "Füße & Ärmel 💪", id="any_script"),
    ],
)
def test_text_stays_what_was_written(folder, said, title):
    rewrite(folder / "day-1.yaml", "title: Round the bollards", f"title: {said}")

    assert load_challenge(folder).days[0].title == title


def test_a_window_may_be_a_clock_without_quotes(folder):
    rewrite(folder / "day-1.yaml", "window: 14 min", "window: 12:30")

    assert load_challenge(folder).days[0].workout.window_s == 750


@pytest.mark.parametrize(
    ("said", "seconds"),
    [("90:00", 5400), ("1:05:09", 3909), ("2 h", 7200), ("45 s", 45), ("0:59", 59)],
)
def test_durations_come_back_from_json_with_their_unit(folder, said, seconds):
    rewrite(folder / "day-1.yaml", "window: 14 min", f"window: {said}")
    rewrite(folder / "day-3.yaml", "rest: 35 s", "rest: 0 s")

    written = load_challenge(folder)

    assert written.days[0].workout.window_s == seconds
    assert f'"window_s":"{seconds} s"' in written.model_dump_json()
    assert Challenge.model_validate_json(written.model_dump_json()) == written


@pytest.mark.parametrize(
    ("said", "shown"),
    [
        pytest.param("24 kg", "24 kg (53 lb)", id="kilograms"),
        pytest.param("22.5 kg", "22.5 kg (50 lb)", id="half_a_kilogram"),
        pytest.param("2 x 15 kg", "2 x 15 kg (2 x 33 lb)", id="two_in_kilograms"),
        pytest.param("17.5 lb", "17.5 lb (7.9 kg)", id="half_a_pound"),
        pytest.param("18 lb", "18 lb (8.2 kg)", id="pounds"),
        pytest.param("53 lb", "53 lb (24 kg)", id="pounds_near_a_whole_kilogram"),
        pytest.param("2 x 17.25 lb", "2 x 17.25 lb (2 x 7.8 kg)", id="two_in_pounds"),
    ],
)
def test_a_load_is_shown_as_written_with_the_other_unit_behind_it(folder, said, shown):
    rewrite(folder / "day-1.yaml", "load: 16 kg", f"load: {said}")

    stored = Challenge.model_validate_json(load_challenge(folder).model_dump_json())

    loads = [rung.load for rung in stored.days[0].workout.divisions["full"].rungs]
    assert shown in map(str, loads)


def test_line_ends_and_marks_of_other_editors_do_not_matter(folder):
    file = folder / "day-1.yaml"
    file.write_bytes(b"\xef\xbb\xbf" + file.read_bytes().replace(b"\n", b"\r\n"))

    assert load_challenge(folder) == load_challenge(DEMO)


OWN = """
- id: log-lift
  name: log lift
  plural: log lifts
  pattern: hinge
  pace: [2.0, 6.0]
  kit: [backpack]
  standard: The log leaves the ground and comes back.
  faults: [The log stays down.]
  cue: Legs first.
  options:
    - {movement: hip-hinge, how: Without the log.}
"""


def test_the_organiser_has_movements_of_their_own(folder):
    (folder / "movements.yaml").write_text(OWN)
    rewrite(folder / "day-1.yaml", "movement: burpee", "movement: log-lift")

    loaded = load_challenge(folder)

    assert loaded.movements["log-lift"].kit == (Kit.BACKPACK,)
    assert "hip-hinge" in loaded.movements
    assert "log-lift" not in movement_library()


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        pytest.param(
            "{movement: hip-hinge,",
            "{movement: kettlebell-swing,",
            (12, "0.options.0.movement", "the last option must need no kit, kettlebell-swing"),
            id="kit_in_the_last_option",
        ),
        pytest.param(
            "{movement: hip-hinge,",
            "{movement: hip-hing,",
            (12, "0.options.0.movement", "did you mean hip-hinge"),
            id="option_that_is_not_there",
        ),
        pytest.param(
            "{movement: hip-hinge,",
            "{movement: hip-hinge, name: hinge,",
            (12, "0.options.0", "either `movement` (an id of the library) or `name`, not both"),
            id="option_said_both_ways",
        ),
        pytest.param(
            "id: log-lift",
            "id: plank",
            (2, "0.id", "plank exists already"),
            id="id_of_the_library",
        ),
        pytest.param(
            "[2.0, 6.0]",
            "[6.0, 2.0]",
            (2, "0", "pace is [fastest, slowest] in seconds, above 0, not (6.0, 2.0)"),
            id="pace_the_wrong_way_round",
        ),
        pytest.param(
            "kit: [backpack]", "kit: [log]", (7, "0.kit.0", "not 'log'"), id="unknown_kit"
        ),
        pytest.param(
            "pattern: hinge", "pattern: hing", (5, "0.pattern", "not 'hing'"), id="pattern"
        ),
        pytest.param(
            "faults: [The log stays down.]", "faults: []", (9, "0.faults", "at least 1"), id="none"
        ),
    ],
)
def test_mistakes_in_own_movements_are_told(folder, old, new, expected):
    file = folder / "movements.yaml"
    file.write_text(OWN)
    rewrite(file, old, new)
    line, field, message = expected

    told = {(p.file, p.line, p.field): p.message for p in problems_of(folder)}

    assert message in told[file, line, field]


def test_a_day_file_is_read_with_the_head_and_movements_beside_it(folder):
    (folder / "movements.yaml").write_text(OWN)

    day, head, library = load_day(folder / "day-1.yaml")

    assert day == load_challenge(DEMO).days[0]
    assert head is not None
    assert head.title == "Seven Mornings on the Quay"
    assert "log-lift" in library


def test_a_day_file_can_stand_alone(folder, tmp_path):
    alone = tmp_path / "alone" / "some-day.yaml"
    alone.parent.mkdir()
    shutil.copy(folder / "day-2.yaml", alone)

    day, head, _ = load_day(alone)

    assert (day.title, head) == ("Tide going out", None)


def test_a_day_that_is_not_complete_yet_may_lack_divisions_and_nothing_else(folder):
    day = folder / "day-1.yaml"
    first = day.read_text().split("    lighter:")[0]
    day.write_text(f"{first}cautions: [Breathe.]\n")

    with pytest.raises(ContentInvalid) as info:
        load_day(day)

    assert {p.field for p in info.value.problems} == {"workout.divisions"}
    assert list(load_day(day, complete=False)[0].workout.divisions) == ["full"]
    rewrite(day, "    full:", "    ful:")
    with pytest.raises(ContentInvalid):
        load_day(day, complete=False)


def test_a_day_file_with_mistakes_is_refused(folder):
    rewrite(folder / "day-1.yaml", "    full:", "    ful:")

    with pytest.raises(ContentInvalid) as info:
        load_day(folder / "day-1.yaml")

    assert {p.field for p in info.value.problems} == {
        "workout.divisions.ful",
        "workout.divisions",
    }


def test_a_shipped_file_with_mistakes_tells_every_one_with_its_line(tmp_path):
    file = tmp_path / "xx.yaml"
    file.write_text("one: {one: a, other: b}\ntwo: 2\nthree: {one: a}\n")

    with pytest.raises(ContentInvalid) as info:
        load_shipped(TypeAdapter(dict[str, Counted]), file)

    assert [(p.line, p.field, p.message) for p in info.value.problems] == [
        (2, "two", "lines of `key: value`, not 2"),
        (3, "three.other", "missing"),
    ]


def test_parts_that_are_valid_make_the_challenge_that_its_folder_would():
    demo = load_challenge(DEMO)

    assert assemble(demo.head, demo.days, movement_library()) == demo


def test_parts_that_do_not_fit_are_named_by_the_file_a_day_would_have():
    demo = load_challenge(DEMO)
    library = {key: each for key, each in movement_library().items() if key != "goblet-squat"}
    head = demo.head.model_copy(update={"divisions": demo.head.divisions[:2]})

    with pytest.raises(ContentInvalid) as info:
        assemble(head, demo.days[:1], library, first=3)

    told = {problem.message.partition(";")[0] for problem in info.value.problems}
    assert {problem.file.name for problem in info.value.problems} == {"day-3.yaml"}
    assert told == {"unknown movement 'goblet-squat'", "unknown division 'bodyweight'"}


def test_the_movements_of_a_folder_are_told_from_those_that_come_with_rungbell(folder):
    assert own_movements(folder) == ()

    own = movement_library()["burpee"].model_copy(update={"id": "pier-burpee"})
    (folder / "movements.yaml").write_text(movements_yaml([own]), encoding="utf-8")

    assert own_movements(folder) == (own,)
