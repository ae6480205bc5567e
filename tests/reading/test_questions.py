"""What a question is about is told by evidence, in any language, and in doubt nothing is said."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.reading.evidence import Clues, Evidence
from bot.reading.lexicon import plain_words
from bot.reading.reader import Reader, Scene, could_matter
from bot.reading.subjects import MOVEMENT, Heard, Likely, features, likely
from bot.reading.values import About, Chatter, Question, Reading
from content.words import languages, load_words
from tests.reading.corpus_check import SameDay, challenge

HEARD = Heard(
    words=("how", "long", "is", "it"),
    ideas=({"how_long"}, {"last"}, {"is_it"}, set()),
    subjects=frozenset(),
    kinds=("ASKING",),
    is_asked=True,
    is_request=False,
    names_kit=False,
    has_mark=True,
)


def reading(text: str, language: str, *, day: int = 1, is_addressed: bool = False) -> Reading:
    content, reader = challenge("demo")
    days = SameDay(content.days[day - 1])
    scene = Scene(day, days, "full", language=language, in_private=is_addressed)
    return reader.read(text, scene)


def sure_of(about: About, likelihood: float) -> Reader:
    content, _ = challenge("demo")
    return Reader(
        movements=content.movements,
        divisions=content.head.divisions,
        judge_question=lambda _: Likely(about, likelihood),
    )


# Written for this table; none is a line of the corpus.
@pytest.mark.parametrize(
    ("language", "day", "text", "expected"),
    [
        pytest.param("en", 1, "is there anything kinder than burpees",
                     Question(About.OPTION, "burpee"), id="en_option"),
        pytest.param("es", 2, "hasta qué hora se puede mandar lo de hoy",
                     Question(About.TIME), id="es_time"),
        pytest.param("fr", 6, "je suis à quelle place en ce moment",
                     Question(About.MINE), id="fr_mine"),
        pytest.param("de", 5, "wer liegt denn grad vorne?",
                     Question(About.STANDINGS), id="de_standings"),
        pytest.param("pt", 1, "como é que me inscrevo nisto",
                     Question(About.REGISTER), id="pt_register"),
    ],
)  # fmt: skip
def test_questions_are_told_by_their_words_without_a_question_mark(language, day, text, expected):
    assert reading(text, language, day=day) == expected


@pytest.mark.parametrize(
    ("language", "text"),
    [
        ("en", "Nadia how was your knee after the lunges?"),
        ("es", "quién inventó los burpees, quiero hablar con él"),
        ("fr", "tu viens boire un café après ?"),
        ("de", "hast du gut geschlafen anna?"),
        ("pt", "vocês viram a chuva hoje?"),
    ],
)
def test_questions_to_others_and_jokes_are_chatter(language, text):
    assert reading(text, language) == Chatter()


def test_an_option_named_asks_about_the_days_movement_it_stands_for():
    found = reading("can i do air squats instead?", "en", day=3)

    assert found == Question(About.OPTION, "jump-squat")


@pytest.mark.parametrize(
    ("likelihood", "is_addressed", "answers"),
    [
        pytest.param(0.3, False, False, id="unsure_in_the_group"),
        pytest.param(0.3, True, True, id="unsure_but_spoken_to"),
        pytest.param(0.9, False, True, id="sure_in_the_group"),
        pytest.param(0.1, True, False, id="no_idea"),
    ],
)
def test_in_doubt_only_those_who_speak_to_us_are_answered(likelihood, is_addressed, answers):
    content, _ = challenge("demo")
    scene = Scene(1, SameDay(content.days[0]), "full", in_private=is_addressed)

    found = sure_of(About.TIME, likelihood).read("how long does it last?", scene)

    assert found == (Question(About.TIME) if answers else Chatter())


def test_a_movements_name_does_not_matter_only_that_there_is_one():
    one = dict(features(replace(HEARD, words=("how", "many", MOVEMENT))))

    assert f"#{MOVEMENT}" in one
    assert MOVEMENT in one


def test_only_so_many_words_are_weighed():
    near = replace(HEARD, words=("oats",) * 80, ideas=(set(),) * 80)
    far = replace(HEARD, words=("oats",) * 4000, ideas=(set(),) * 4000)

    assert dict(features(near)) == dict(features(far))


def test_what_is_likely_is_a_share_of_the_whole():
    found = likely(HEARD)

    assert 0 <= found.likelihood <= 1
    assert math.isfinite(found.likelihood)


@pytest.mark.parametrize("language", languages())
def test_every_language_has_words_for_every_idea(language):
    words = load_words(language)

    assert words.evidence.keys() == load_words("en").evidence.keys()
    assert all(words.evidence.values())


def test_a_new_language_is_words_alone():
    """Of an invented language only the lists are known, and its questions are told by ideas."""
    invented = load_words("de").model_copy(
        update={"evidence": {"when": ("zup",), "late": ("mirn*",), "score": ("*olk",)}}
    )
    found = list(Evidence([invented]).found_in(["zup", "mirnot", "kepolk", "olk", "other"]))

    assert found == [{"when"}, {"late"}, {"score"}, set(), set()]


def test_the_words_of_the_main_language_come_before_the_english_ones():
    both = Evidence([load_words("de"), load_words("en")])

    also, leaderboard = both.found_in(["was", "leaderboard"])

    assert also == {"what"}
    assert leaderboard == {"rank"}


@pytest.mark.parametrize("text", ["l'échauffement", "d'échauffement", "échauffements"])
def test_words_joined_by_an_apostrophe_are_known_by_their_parts(text):
    (found,) = Evidence([load_words("fr")]).found_in(plain_words(text))

    assert "warm" in found


@given(st.lists(st.sampled_from(["warmup", "warmups", "l'echauffement", "soup", "kiwi", "a'b"])))
def test_clues_pass_over_nothing_that_evidence_finds(words):
    """The glance may let too much through, never too little."""
    spoken = [load_words("en"), load_words("fr")]
    ideas = {"warm"}

    seen = any(ideas & found for one in spoken for found in Evidence([one]).found_in(words))

    assert Clues(spoken, ideas).in_any_of(words) or not seen


@given(st.text(max_size=200))
def test_what_is_passed_over_at_a_glance_is_chatter(text):
    if not could_matter(text):
        assert reading(text, "en") == Chatter()
