"""The reader's words, one YAML file per language.

A language is data alone: a new file in `words/` is all that one more language takes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Annotated

from pydantic import Field, TypeAdapter

from content.fields import Slug, Strict
from content.loading import load_shipped

_FOLDER = Path(__file__).parent / "words"


class Jokes(Strict):
    """Signs that people also joke about, and words that show that they do."""

    signs: tuple[str, ...]
    words: tuple[str, ...]


class Sign(Strict):
    """How one sign of an emergency is said.

    `phrases`: a few other words may stand between two words of one. `together`: a word of each
    list, near each other in any order. `in_order`: a word of each list, one soon behind the
    other. In the lists `swell*` is every word that begins so, `<face>` all the `parts` of that
    name, and several words stand side by side. One list of each should be free of everyday
    words: messages without a word of it cost nothing.
    """

    phrases: tuple[str, ...] = ()
    together: tuple[Annotated[tuple[tuple[str, ...], ...], Field(min_length=2)], ...] = ()
    in_order: tuple[Annotated[tuple[tuple[str, ...], ...], Field(min_length=2)], ...] = ()


class TakeOut(Strict):
    """How people wish their own score taken out: a verb and a thing of theirs near each other.

    `verbs` as they stand in a wish ("delete"); `parted` are verbs that are one only with a word
    of the second list behind ("take ... down"). `things` of one's own have a word of `own` in
    front ("my score"), or the verb stands for that (`for_me`, "bórrame el resultado"); `mine`
    are things that are one's own as they stand ("what I posted").
    `done` with a word of `wanted` is a wish too ("I'd like my score removed"). `asking`
    makes a wish of a question ("can you"); `told` right in front of the verb makes none of it.
    """

    verbs: tuple[str, ...]
    for_me: tuple[str, ...] = ()
    parted: tuple[tuple[str, ...], tuple[str, ...]]
    done: tuple[str, ...]
    wanted: tuple[str, ...]
    own: tuple[str, ...]
    things: tuple[str, ...]
    mine: tuple[str, ...] = ()
    asking: tuple[str, ...]
    told: tuple[str, ...]


class Elsewhere(Strict):
    """Words by which nobody here has the sign they are said with; written as a sign's lists are.

    `near` on either side of it ("in the film"), `in_front` ("if somebody", "the dog") and
    `behind` ("years ago") of its first word.
    """

    near: tuple[str, ...] = ()
    in_front: tuple[str, ...] = ()
    behind: tuple[str, ...] = ()


class Joining(Strict):
    """How a language puts its number words together.

    `joint_behind`: sizes (1000, 100, 10) behind which "and" goes on with the number: "two
    hundred and five", "cuarenta y cinco". `teens_behind`: tens that take a teen: "soixante-dix".
    `units_first`: "fünf und vierzig". `glued`: the parts are also written as one word.
    """

    joint_behind: tuple[int, ...] = ()
    teens_behind: tuple[int, ...] = ()
    units_first: bool = False
    glued: bool = False


class Words(Strict):
    """What one language calls things. Phrases are lower case, a hyphen is a space.

    Accents may be left out in a message. `common` are short everyday words by which a message is
    known to be in the language; `spellings` other ways to write a letter ("ue" for "ü");
    `everyday` words that may nickname a division and are said of much else ("light").
    `divisions` are usual words for kinds of division, by the kind's English word: "ligera" names
    the challenge's division that is called lighter, if it has one. `movements` are names of
    movements by id, singular and plural, the usual one first. `evidence` are words that tell what
    a question is about, by ideas that are the same in every language; "warmup*" is every word
    that begins so, "*aste" every one that ends so. A word may stand for several ideas.
    """

    common: tuple[str, ...]
    spellings: dict[str, str] = Field(default_factory=dict)
    slips: tuple[str, ...]
    numbers: dict[str, int]
    fractions: dict[str, Decimal] = Field(default_factory=dict)  # one and a half in one word
    multipliers: dict[str, int]
    joining: Joining
    decimal_comma: bool = False
    capital_nouns: bool = False
    ordinals: dict[str, int]
    ordinal_endings: tuple[str, ...]
    weekdays: dict[str, int]  # Monday is 1
    behind_a_number: dict[str, tuple[str, ...]]
    words: dict[str, tuple[str, ...]]
    questions: dict[str, tuple[str, ...]]  # phrases by subject
    evidence: dict[str, tuple[str, ...]]  # by idea
    kit: tuple[str, ...]  # things people train with, or put in their place
    requests: tuple[str, ...]
    take_back: tuple[str, ...] = ()  # "don't count my score": what `take_out` cannot say
    take_out: TakeOut
    denials: tuple[str, ...]  # in front of a sign: "no chest pain"
    parts: dict[str, tuple[str, ...]] = Field(default_factory=dict)  # lists that signs share
    elsewhere: Elsewhere = Elsewhere()
    health_signs: dict[str, Sign]
    jokes: Jokes
    everyday: tuple[str, ...] = ()
    divisions: dict[str, tuple[str, ...]] = Field(default_factory=dict)
    movements: dict[Slug, tuple[str, ...]] = Field(default_factory=dict)

    def with_parts(self, phrases: Iterable[str]) -> Iterator[str]:
        """Give the words of a list of a sign, those of the parts it names in their place."""
        for phrase in phrases:
            if phrase.startswith("<"):
                yield from self.parts[phrase.strip("<>")]
            else:
                yield phrase


_WORDS: TypeAdapter[Words] = TypeAdapter(Words)


def languages() -> tuple[str, ...]:
    """Give the languages there are words for."""
    return tuple(sorted(path.stem for path in _FOLDER.glob("*.yaml")))


@cache
def load_words(language: str) -> Words:
    """Load a language's words.

    Raises:
        ContentInvalid: There is no such language, or its file is broken.
    """
    return load_shipped(_WORDS, _FOLDER / f"{language}.yaml")
