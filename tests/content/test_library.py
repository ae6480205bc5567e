"""The movements, words and texts that ship: nothing missing, doubled or out of reach."""

from __future__ import annotations

import ast
import re
from collections import defaultdict
from pathlib import Path
from string import Formatter

import pytest

import bot
from bot.drafting import Step
from bot.plan_values import Why as PlanWhy
from bot.reading.kinds import WORD_KINDS
from bot.reading.lexicon import plain_words
from bot.reading.values import About, Why
from bot.reading.weather import Fault
from bot.received_file import NoFile
from bot.timetable import PostKind
from content.clock_track import Cue
from content.errors import ContentInvalid, Unfit
from content.loading import movement_library
from content.movement import CountUnit, Kit, Pattern
from content.texts import Counted, load_texts
from content.weather.air_quality import AirBand
from content.weather.cold import ColdBand
from content.weather.heat import HeatBand
from content.weather.outlook import Kind, Level
from content.words import languages, load_words
from store.values import PostState, ResultState

LIBRARY = movement_library()
every_movement = pytest.mark.parametrize(
    "movement", [pytest.param(movement, id=name) for name, movement in LIBRARY.items()]
)


def test_there_are_movements_of_every_pattern():
    assert len(LIBRARY) >= 40
    assert {movement.pattern for movement in LIBRARY.values()} == set(Pattern)


@every_movement
def test_the_easiest_option_needs_no_kit(movement):
    last = movement.options[-1]

    if last.movement is not None:
        assert LIBRARY[last.movement].kit == ()
    else:
        weights = re.compile(r"\b(dumbbell|kettlebell|backpack|bell|pack|rope|band|bar|box)s?\b")
        assert not weights.search(last.how)


@every_movement
def test_no_option_is_the_movement_itself_or_said_twice(movement):
    ways = [option.movement or option.name for option in movement.options]

    assert movement.id not in ways
    assert len(set(ways)) == len(ways)


@every_movement
def test_every_piece_of_kit_can_be_replaced_or_done_without(movement):
    assert not set(movement.kit) & movement.substitutes.keys()
    assert set(movement.kit) <= set(Kit)


@every_movement
def test_a_name_reads_well_behind_a_number(movement):
    if movement.unit is CountUnit.REPS:
        assert movement.plural != movement.name
        assert movement.plural.endswith("s")
    else:
        assert movement.plural == movement.name
    assert movement.name == movement.name.lower()
    assert movement.called(1) == movement.name
    assert movement.called(2) == movement.plural


@every_movement
def test_nicknames_are_plain_and_told_once(movement):
    assert len(set(movement.nicknames)) == len(movement.nicknames)
    assert not {movement.name, movement.plural} & set(movement.nicknames)
    assert all(nickname == nickname.lower() for nickname in movement.nicknames)
    assert all(plain_words(nickname) for nickname in movement.nicknames)


def test_no_two_movements_have_the_same_name():
    owners = defaultdict(set)
    for movement in LIBRARY.values():
        for name in (movement.name, movement.plural):
            owners[" ".join(plain_words(name))].add(movement.id)

    assert {name: ids for name, ids in owners.items() if len(ids) > 1} == {}


@every_movement
def test_sentences_are_whole(movement):
    sentences = [
        movement.standard,
        movement.cue,
        *movement.faults,
        *movement.cautions,
        *movement.substitutes.values(),
        *(option.how for option in movement.options),
    ]

    assert [text for text in sentences if not re.fullmatch(r"[A-Z].{5,}[.!]", text)] == []


# Whoever is as quick as these must not be asked whether they are.
PUBLISHED = [
    # Source: US Air Force scoring July 2021, best score of a minute, men under 25.
    pytest.param("push-up", 67, 60, id="push_ups_in_a_minute"),
    pytest.param("sit-up", 58, 60, id="sit_ups_in_a_minute"),
    # Source: US Navy physical readiness test, 2014 era, best score of two minutes.
    pytest.param("push-up", 92, 120, id="push_ups_in_two_minutes"),
    pytest.param("crunch", 109, 120, id="curl_ups_in_two_minutes"),
    # Source: US Army combat fitness test tables, 2022 to 2024, 100 points.
    pytest.param("hand-release-push-up", 57, 120, id="hand_release_push_ups"),
    # Source: US Army FM 7-22, 100 points, ages 17 to 21.
    pytest.param("sit-up", 78, 120, id="sit_ups_in_two_minutes"),
    # Source: Guinness World Records, press: 3206 push-ups, 879 chest-to-floor burpees in an hour.
    pytest.param("push-up", 3206, 3600, id="push_ups_in_an_hour"),
    pytest.param("burpee", 879, 3600, id="burpees_in_an_hour"),
    # Source: fitness magazine, "outstanding".
    pytest.param("burpee", 45, 60, id="burpees_in_a_minute"),
    # Source: Rikli and Jones, J Aging Phys Act 1999;7:162-181, men of 60 to 64, upper quarter.
    pytest.param("chair-squat", 19, 30, id="chair_stands_in_half_a_minute"),
    # Source: public record, from the lower claim up.
    pytest.param("air-squat", 70, 60, id="squats_in_a_minute"),
    pytest.param("jumping-jack", 135, 60, id="jumping_jacks_in_a_minute"),
    # Source: Vezina et al. 2012, paced test.
    pytest.param("forward-lunge", 20, 60, id="lunges_paced"),
    # Source: world record of athletics over 5 km, 12:35.4.
    pytest.param("run", 5000, 755.4, id="run_of_5_km"),
]


@pytest.mark.parametrize(("name", "count", "seconds"), PUBLISHED)
def test_the_fastest_pace_is_not_slower_than_published_rates(name, count, seconds):
    assert LIBRARY[name].pace[0] * count <= seconds


@every_movement
def test_paces_are_human(movement):
    """Source: alternate-foot skips, championships 2017 to 2019: 7.6 steps a second."""
    fastest, slowest = movement.pace

    assert fastest >= 1 / 7.6
    assert slowest <= 10
    if movement.unit is CountUnit.SECONDS:
        assert movement.pace == (1.0, 1.0)


WORDS = load_words("en")
every_language = pytest.mark.parametrize(
    "words", [load_words(language) for language in languages()], ids=languages()
)


@every_language
def test_a_phrase_stands_in_one_list(words):
    """Accents do not tell words apart: in a message they may be missing."""
    lists = {
        "numbers": words.numbers,
        "multipliers": words.multipliers,
        "ordinals": words.ordinals,
        "weekdays": words.weekdays,
        **words.words,
    }
    places = defaultdict(set)
    for name, phrases in lists.items():
        for phrase in phrases:
            places[tuple(plain_words(phrase))].add(name)

    assert {phrase: names for phrase, names in places.items() if len(names) > 1} == {}


@every_language
def test_phrases_are_written_in_the_form_they_are_looked_up_in(words):
    """A digit or a sign in a phrase would be dropped, and the rest mean something else."""
    phrases = [
        *words.numbers,
        *words.multipliers,
        *(p for group in words.words.values() for p in group),
        *(p for group in words.questions.values() for p in group),
        *words.requests,
        *words.take_back,
        *(p for sign in words.health_signs.values() for p in sign.phrases),
        *(p for names in words.movements.values() for p in names),
    ]

    assert [p for p in phrases if re.search(r"[^\w\s'\-]|\d", p)] == []
    assert [p for p in phrases if not plain_words(p)] == []


@every_language
def test_every_list_of_words_has_a_kind(words):
    known = WORD_KINDS.keys() | {"filler"}

    assert words.words.keys() <= known
    assert words.behind_a_number.keys() <= known


def test_english_has_every_list():
    assert WORDS.words.keys() | WORDS.behind_a_number.keys() == WORD_KINDS.keys() | {"filler"}


@every_language
def test_every_movement_has_a_name(words):
    """The library's own names are English."""
    if words is not WORDS:
        assert words.movements.keys() == LIBRARY.keys()


@every_language
def test_every_sign_of_an_emergency_can_be_said(words):
    assert words.health_signs.keys() == WORDS.health_signs.keys()


@every_language
def test_questions_are_about_what_we_answer(words):
    assert words.questions.keys() == set(About)


@pytest.mark.parametrize("load", [load_words, load_texts])
def test_a_language_we_do_not_have_is_refused(load):
    with pytest.raises(ContentInvalid, match=r"xx\.yaml: there is no such file"):
        load("xx")


# What an organiser can do to a plan, as its texts name it.
CHANGES = [
    *("moved", "skipped", "unskipped", "swapped", "now", "zone", "paused", "written"),
    *("resumed", "resumed_later", "resumed_over", "time_post", "time_close"),
    *("time_reminder", "time_reminder_off", "time_standings", "time_standings_off"),
]
# What a text may be chosen by: the part of its key that the code fills in.
FAMILIES = {
    "ask_": {why.value for why in Why},
    "sign_": set(WORDS.health_signs),
    "plan_no_": {why.value for why in PlanWhy},
    "plan_bad_": {"words", "number", "numbers", "move", "change", "date", "time", "zone"},
    "plan_now_": set(CHANGES),
    "plan_now_next_": {"post", "close"},
    "plan_did_": set(CHANGES),
    "plan_kind_": {kind.value for kind in PostKind},
    "plan_state_": {state.value for state in PostState} - {PostState.PLANNED},
    "write_next_": {step.value for step in Step},
    "write_ask_": {"title", "zone", "divisions", "times", "cautions"},
    "write_bad_": {"words", "number", "count", "date", "time"},
    "button_write_": {"title", "zone", "divisions", "times", "review", "begin", "file"},
    "file_no_": {why.value for why in (*Unfit, NoFile.FETCH)},
    # What a person took back is not shown.
    "mine_state_": {state.value for state in ResultState}
    - {ResultState.COUNTED, ResultState.WITHDRAWN},
    "clock_cue_": set(Cue),
    "weather_fault_": set(Fault),
    "weather_felt_": {Kind.HEAT, Kind.COLD},
    "weather_lacks_": {Kind.HEAT, Kind.COLD},
    "weather_signs_": set(Kind),
    "weather_band_": {*HeatBand, *ColdBand, *AirBand},
    "weather_measures_": {f"{kind}_{level.name.lower()}" for kind in Kind for level in Level},
}
TEXTS = load_texts("en")
SOURCES = {
    file: ast.parse(file.read_text(encoding="utf-8"))
    for file in sorted(Path(bot.__file__).parent.rglob("*.py"))
    if "rehearsal" not in file.parts
}


def texts_of(key):
    """Return a text's forms."""
    text = TEXTS[key]
    return (text.one, text.other) if isinstance(text, Counted) else (text,)


def placeholders(key):
    return {
        field
        for text in texts_of(key)
        for _, field, _, _ in Formatter().parse(text)
        if field is not None
    }


def said_in_code():
    """Return every call that fills a text: (place, keys it may use, call)."""
    said = []
    for file, tree in SOURCES.items():
        for node in ast.walk(tree):
            if not isinstance(node, ast.Call) or not node.args or not _fills(node.func):
                continue
            keys = _keys(node.args[0])
            if keys:
                said.append((f"{file.name}:{node.lineno}", keys, node))
    return said


def _fills(function):
    """Say whether this is `say`, `running.say` or `Wording()`."""
    match function:
        case ast.Name(id="say") | ast.Attribute(attr="say"):
            return True
        case ast.Call(func=ast.Name(id="Wording")):
            return True
        case _:
            return False


def _keys(argument):
    match argument:
        case ast.JoinedStr(values=[ast.Constant(value=str(prefix)), _]):
            return {f"{prefix}{end}" for end in FAMILIES[prefix]}
        case ast.IfExp(body=body, orelse=orelse):
            return _keys(body) | _keys(orelse)
        case ast.Constant(value=str(key)):
            return {key}
        case _:
            return set()


SAID = said_in_code()


def test_the_walk_through_the_code_finds_what_is_said():
    assert len(SAID) > 60


def test_every_text_the_code_says_exists():
    assert [(place, key) for place, keys, _ in SAID for key in keys - TEXTS.keys()] == []


def test_every_text_is_said_somewhere():
    """A key may also be chosen first and said later: any string of the code counts."""
    strings = {
        node.value
        for tree in SOURCES.values()
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }
    said = {key for _, keys, _ in SAID for key in keys}

    assert sorted(TEXTS.keys() - said - strings) == []


def test_every_text_gets_the_values_it_needs_and_no_others():
    wrong = []
    for place, keys, call in SAID:
        given = {keyword.arg for keyword in call.keywords}
        if None in given:  # ** hands over values this cannot see
            continue
        for key in keys & TEXTS.keys():
            chosen_by = {"count"} if isinstance(TEXTS[key], Counted) else set()
            needed = placeholders(key) | chosen_by
            optional = given if len(keys) > 1 else set()  # a family shares its values
            if not needed <= given or not given <= needed | optional:
                wrong.append((place, key, sorted(needed), sorted(given)))

    assert wrong == []


@pytest.mark.parametrize("key", sorted(TEXTS))
def test_formatting_in_texts_is_closed_on_its_line(key):
    """The bot cuts long messages between lines only."""
    for text in texts_of(key):
        for line in text.split("\n"):
            tags = re.findall(r"<(/?)([a-z]+)>", line)
            assert [name for slash, name in tags if not slash] == [
                name for slash, name in tags if slash
            ]
            assert {name for _, name in tags} <= {"b", "i"}
            assert "<" not in re.sub(r"</?[bi]>", "", line)
