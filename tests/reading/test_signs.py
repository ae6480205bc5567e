"""Signs of an emergency: who is warned, and who is left in peace."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.reading.reader import emergency_signs
from bot.reading.word_groups import WordGroups
from content.words import languages, load_words

WORDS = load_words("en")


@pytest.mark.parametrize(
    ("text", "sign"),
    [
        pytest.param("one side of his face is drooping", "stroke", id="stroke"),
        pytest.param("she is having a seizure", "seizure", id="seizure"),
        pytest.param("my hand is bleeding and it won't stop", "bleeding", id="bleeding"),
        pytest.param("a bee stung me and my lips swell up", "allergic_reaction", id="allergy"),
        pytest.param("hit my head and now I see double", "head_blow", id="head"),
        pytest.param("my son is choking on a nut", "choking", id="choking"),
        pytest.param("fell off the box and can't move my legs", "bad_injury", id="injury"),
        pytest.param("I'm diabetic, all shaky and confused", "low_sugar", id="sugar"),
        pytest.param("my chest hurts", "chest_pain", id="chest"),
        pytest.param("se me hincha la lengua y la garganta", "allergic_reaction", id="spanish"),
        pytest.param("il s'est cogné la tête et il vomit", "head_blow", id="french_elision"),
        pytest.param("Er blutet stark am Kopf", "bleeding", id="german"),
        pytest.param("hoert nicht auf zu bluten, tiefer Schnitt", "bleeding", id="ue_for_umlaut"),
        pytest.param("ela esta tendo convulsao", "seizure", id="without_accents"),
    ],
)
def test_a_sign_of_an_emergency_is_named(text: str, sign: str):
    assert sign in emergency_signs(text)


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("a stroke of luck", id="luck"),
        pytest.param("had a fit of giggles", id="giggles"),
        pytest.param("in the film she has a seizure on the floor", id="film"),
        pytest.param("he had a stroke years ago", id="long_ago"),
        pytest.param("what to do if someone is choking on food", id="nobody_here"),
        pytest.param("the dog fainted on the floor", id="no_person"),
        pytest.param("he is not choking on anything", id="denied"),
        pytest.param("choking on my coffee haha", id="laughing"),
        pytest.param("hit my head on the pillow and slept", id="no_consequence"),
        pytest.param("bleeding money on kit", id="figure_of_speech"),
        pytest.param("chest press next", id="movement"),
        pytest.param("swollen with pride", id="pride"),
    ],
)
def test_ordinary_talk_is_left_in_peace(text: str):
    assert emergency_signs(text) == ()


def test_what_happened_long_ago_does_not_hide_what_hurts_now():
    assert emergency_signs("chest hurts badly since this morning, had a stroke years ago") == (
        "chest_pain",
    )


@pytest.mark.parametrize("apart", [1, 9])
def test_words_that_stand_together_may_be_a_few_words_apart(apart: int):
    assert emergency_signs(f"chest {'so ' * (apart - 1)}hurts") == ("chest_pain",)


def test_words_far_apart_tell_no_sign():
    assert emergency_signs(f"my chest {'so ' * 30}hurts") == ()


@given(st.text())
def test_any_text_can_be_looked_through(text: str):
    assert set(emergency_signs(text)) <= set(WORDS.health_signs)


@given(st.lists(st.sampled_from(["chest", "swollen", "swelling", "one", "side", "my"])))
def test_a_glance_never_hides_what_the_full_look_finds(words: list[str]):
    groups = WordGroups()
    opening = [groups.add([phrase], WORDS) for phrase in ("swell*", "chest")]
    for group in opening:
        groups.open_with(group)

    at_first, again = groups.may_open(words), groups.may_open(words)

    assert at_first is again is bool(groups.places(words).keys() & set(opening))


def test_a_star_stands_for_any_ending_and_words_stand_side_by_side():
    groups = WordGroups()
    swelling = groups.add(["swell*"], WORDS)
    one_side = groups.add(["one side"], WORDS)

    found = groups.places(["one", "swelling", "one", "side"])

    assert found == {swelling: [1], one_side: [2]}


def test_an_apostrophe_ties_nothing():
    groups = WordGroups()
    bone, throat, cannot = (groups.add([word], WORDS) for word in ("os", "throat", "cant"))

    found = groups.places(["l'os", "throat's", "can't", "cant"])

    assert found == {bone: [0], throat: [1], cannot: [2, 3]}


@pytest.mark.parametrize("language", languages())
def test_every_part_that_a_sign_names_is_there_and_used(language: str):
    words = load_words(language)
    named = {
        phrase.strip("<>")
        for sign in words.health_signs.values()
        for lists in (*sign.together, *sign.in_order)
        for each in lists
        for phrase in each
        if phrase.startswith("<")
    }

    assert named == words.parts.keys()
