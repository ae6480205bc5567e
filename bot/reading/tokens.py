"""Cut a message into tokens and give each a kind; join number words, day words and efforts.

Words that carry nothing are dropped, so that patterns stay short; a token knows its place in
the plain text.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet

from bot.reading.kinds import SIGNS, Kind
from bot.reading.lexicon import Lexicon
from bot.reading.normalise import Plain
from bot.reading.numbers import (
    MEASURED,
    clock_seconds,
    glued_number,
    in_digits,
    joined_numbers,
    with_parts_behind,
)
from bot.reading.token import Token

_PIECE = re.compile(
    r"""
    (?P<link>https?://\S{1,500})
    | (?P<mention>@[^\W\d]\w{0,40})
    | (?P<long>\d{8,}|0\d{2,}|[$€£]\s?\d[\d.,]{0,12}|\d[\d.,]{0,12}\s?[$€£%°])
    | (?P<clock>(?:\d{1,2}:)?\d{1,3}:[0-5]\d(?!\d))
    | (?P<number>
        \d{1,3}[\x20']\d{3}(?!\d)(?=\x20?m)
        | \d{1,3},\d{3}(?![\d,])
        | (?<!\d,)\d{1,4},\d{1,2}(?![\d,])
        | \d{1,7}(?:\.\d{1,3}(?![\d.]))?
      )
    | (?P<word>[^\W\d_]+(?:'[^\W\d_]+)*)
    | (?P<dots>\.{2,})
    | (?P<sign>''|\?+|!+|[^\s\w])
    | (?P<newline>\n+)
    """,
    re.VERBOSE,
)
_LONG_DRAWN = re.compile(r"([^\W\d_])\1\1+")  # "goooo"
_NUMBERS = {Kind.NUMBER, Kind.FRACTION, Kind.CLOCK}
_MOST_NUMBERS = 120  # also bounds the work on hostile text


def tokenise(
    plain: Plain, lexicon: Lexicon, people: AbstractSet[str] = frozenset()
) -> list[Token]:
    """Cut plain text into tokens; none when it is a table of numbers and no message.

    `people` are names that stand for somebody else, unless they are words we know.
    """
    pieces = list(_cut(plain.text, lexicon))
    has_self = any(piece.kind is Kind.SELF for piece in pieces)
    if people or has_self:
        pieces = list(_with_people(pieces, plain, people, in_a_list=has_self))
    if any(piece.kind is Kind.OTHER for piece in pieces):
        pieces = list(_with_dashes_behind_people(pieces, plain))
    if sum(token.kind in _NUMBERS for token in pieces) > _MOST_NUMBERS:
        return []
    if "." in lexicon.ordinal_endings:
        pieces = list(_with_dotted_ordinals(pieces))
    tokens = list(joined_numbers(pieces, lexicon))
    kinds = {token.kind for token in tokens}
    # Most messages need none of these.
    if not kinds.isdisjoint(MEASURED) and Kind.AND in kinds:
        tokens = list(with_parts_behind(tokens))
    if not kinds.isdisjoint(_MERGED):
        tokens = list(_with_days_and_efforts(tokens))
    if not kinds.isdisjoint(_WEIGHTS):
        tokens = list(_with_kit(tokens, plain, lexicon))
    if Kind.SELF in kinds:
        tokens = list(_without_idle_self(tokens))
    if Kind.FULL in kinds:
        tokens = [_division(tokens, at, plain, lexicon) for at in range(len(tokens))]
    return tokens


_WEIGHTS = {Kind.KILOGRAM, Kind.POUND}


def _with_kit(tokens: Sequence[Token], plain: Plain, lexicon: Lexicon) -> Iterator[Token]:
    """Mark the thing whose weight is told: "a 16 kg kettlebell"."""
    before = None
    for token in tokens:
        word = plain.text[token.start : token.end]
        is_kit = token.kind in {Kind.WORD, Kind.MOVEMENT} and word in lexicon.asked.kit
        yield token._replace(kind=Kind.KIT) if is_kit and before in _WEIGHTS else token
        before = token.kind


# A name that begins a clause and has a score, or "did", right behind it is whose score it is;
# "3 + 45 with Marta" and "thanks Marta" are said by the one who trained.
_BEFORE_A_NAME = {Kind.COMMA, Kind.STOP, Kind.AND}
_BEHIND_A_NAME = {
    *(Kind.NUMBER, Kind.FRACTION, Kind.CLOCK, Kind.COLON),
    *(Kind.DID, Kind.FINISHED, Kind.REACHED, Kind.CAPPED),
}


def _with_people(
    pieces: Sequence[Token], plain: Plain, people: AbstractSet[str], *, in_a_list: bool
) -> Iterator[Token]:
    """Take the names of others for somebody else: "Marta 4 + 10", "Marta's".

    In a list of people, "me" being one, a capital tells a name too.
    """
    for at, piece in enumerate(pieces):
        name, _, owned = plain.text[piece.start : piece.end].partition("'")
        is_theirs = (
            piece.kind is Kind.WORD
            and (name in people or (in_a_list and plain.has_capital(piece.start)))
            and (at == 0 or pieces[at - 1].kind in _BEFORE_A_NAME)
            and (owned or _leads_to_a_score(pieces, at + 1, plain))
        )
        yield piece._replace(kind=Kind.OTHER) if is_theirs else piece


def _leads_to_a_score(pieces: Sequence[Token], at: int, plain: Plain) -> bool:
    if at == len(pieces):
        return False
    return pieces[at].kind in _BEHIND_A_NAME or _is_dash(pieces[at], plain)


def _is_dash(piece: Token, plain: Plain) -> bool:
    return plain.text[piece.start : piece.end].strip() == "-"


def _with_dashes_behind_people(pieces: Sequence[Token], plain: Plain) -> Iterator[Token]:
    """Read "my wife - 3 + 45" as "my wife: 3 + 45"; elsewhere such a dash is a pause."""
    before = None
    for piece in pieces:
        is_colon = before is Kind.OTHER and piece.kind is Kind.COMMA and _is_dash(piece, plain)
        yield piece._replace(kind=Kind.COLON) if is_colon else piece
        before = piece.kind


def _with_dotted_ordinals(tokens: Sequence[Token]) -> Iterator[Token]:
    """Read "4. Runde" as the fourth round, where the language writes ordinals with a full stop."""
    at = 0
    while at < len(tokens):
        number, *behind = tokens[at : at + 3]
        if (
            number.kind is Kind.NUMBER
            and [t.kind for t in behind] == [Kind.STOP, Kind.ROUND]
            and behind[0].start == number.end
        ):
            yield Token(Kind.ORDINAL, number.start, behind[0].end, number.value)
            at += 1
        else:
            yield number
        at += 1


def _without_idle_self(tokens: Sequence[Token]) -> Iterator[Token]:
    """Drop "me" where it does not stand right in front of a score."""
    code = "".join(token.kind for token in tokens)
    for place, token in enumerate(tokens):
        if token.kind is not Kind.SELF or re.match("[:,-]?[NDCL]", code[place + 1 : place + 3]):
            yield token


# "a full minute", "the full round"
_MEASURED_IN_FULL = {Kind.ROUND, Kind.MINUTE, Kind.SECOND, Kind.HOUR, *MEASURED, Kind.METRE}


def _division(tokens: Sequence[Token], at: int, plain: Plain, lexicon: Lexicon) -> Token:
    """Take "full" for the division of that name where it does not speak of rounds."""
    token = tokens[at]
    name = lexicon.divisions.get(plain.text[token.start : token.end])
    if token.kind is not Kind.FULL or name is None:
        return token
    before = "".join(t.kind for t in tokens[max(0, at - 2) : at])
    after = tokens[at + 1].kind if at + 1 < len(tokens) else None
    if (
        after in _MEASURED_IN_FULL
        or before.endswith("R")
        or (before[-1:] == "N" and before != "+N")
    ):
        return token
    return token._replace(kind=Kind.DIVISION, value=name)


def _cut(text: str, lexicon: Lexicon) -> Iterator[Token]:
    pieces = list(_PIECE.finditer(text))
    words = [
        _LONG_DRAWN.sub(r"\1", piece.group()) if piece.lastgroup == "word" else ""
        for piece in pieces
    ]
    at = 0
    number_ends = -1  # where the last number ended
    last: Token | None = None
    while at < len(pieces):
        piece = pieces[at]
        kind, start, end = piece.lastgroup, piece.start(), piece.end()
        taken = 1
        if kind == "word":
            after_number = number_ends >= 0 and not text[number_ends:start].strip()
            taken, token = _word(text, pieces, words, at, lexicon, after_number=after_number)
            if token is not None and token.kind is Kind.ASKING_FIRST:
                first = at == 0 or not words[at - 1] or "\n" in text[pieces[at - 1].end() : start]
                token = token._replace(kind=Kind.ASKING) if first else None
            if token is not None:
                yield token
            last = token
        elif kind == "number":
            yield from in_digits(piece.group(), text, start, lexicon)
        elif kind == "clock":
            yield Token(Kind.CLOCK, start, end, clock_seconds(piece.group()))
        elif kind == "sign" and piece.group() in lexicon.behind_a_number and number_ends == start:
            yield Token(lexicon.behind_a_number[piece.group()], start, end)
        elif piece.group() == "-" and 0 < at < len(pieces) - 1 and _hyphen(pieces, words, at):
            pass  # forty-five, push-up
        elif piece.group() == "." and _is_abbreviated(last, start, pieces[at + 1 : at + 2]):
            pass  # "ca. 9 Min. 41"
        elif (token := _sign(piece, text, words[at + 1 : at + 2], lexicon)) is not None:
            yield token
        number_ends = end if kind == "number" else -1
        at += taken


_ABBREVIATED = {Kind.VAGUE, Kind.MINUTE, Kind.SECOND, Kind.HOUR, Kind.NUMBERED, Kind.REP}
_LONGEST_ABBREVIATION = 3  # letters


def _is_abbreviated(last: Token | None, at: int, after: Sequence[re.Match[str]]) -> bool:
    """Say whether a full stop belongs to the short word before it: "ca.", "Min."."""
    return (
        last is not None
        and last.end == at
        and last.kind in _ABBREVIATED
        and last.end - last.start <= _LONGEST_ABBREVIATION
        and any(piece.lastgroup in {"number", "word"} for piece in after)
    )


def _sign(
    piece: re.Match[str], text: str, next_word: Sequence[str], lexicon: Lexicon
) -> Token | None:
    """Give the token of what is neither word nor number, if it is one."""
    kind, start, end = piece.lastgroup, piece.start(), piece.end()
    first = piece.group()[0]
    if kind == "long":
        return Token(Kind.OTHER_SIGN, start, end)
    if kind == "mention":  # "@coach" says nothing, somebody else may mean anything
        known = lexicon.phrases.longest([piece.group()[1:]], 0)
        return Token(Kind.VAGUE, start, end) if known is None else None
    if first == "(":
        return Token(Kind.COMMA, start, end) if any(next_word) else None
    if kind == "dots":
        return Token(Kind.STOP, start, end)
    if first not in SIGNS:
        return None
    sign = SIGNS[first]
    if sign is Kind.DASH and text[start - 1 : start] == " " == text[end : end + 1]:
        sign = Kind.COMMA  # a pause, not a minus
    return Token(sign, start, end)


def _hyphen(pieces: Sequence[re.Match[str]], words: Sequence[str], at: int) -> bool:
    """Say whether a dash joins two words without spaces."""
    return bool(
        words[at - 1]
        and words[at + 1]
        and pieces[at - 1].end() == pieces[at].start()
        and pieces[at].end() == pieces[at + 1].start()
    )


def _word(
    text: str,
    pieces: Sequence[re.Match[str]],
    words: Sequence[str],
    at: int,
    lexicon: Lexicon,
    *,
    after_number: bool,
) -> tuple[int, Token | None]:
    """Read the word at a place, or the phrase that starts there; hyphens count as spaces."""
    start, end = pieces[at].span()
    if after_number and words[at] in lexicon.behind_a_number:
        return 1, Token(lexicon.behind_a_number[words[at]], start, end)
    if after_number and pieces[at - 1].end() == start:
        number = pieces[at - 1].group()
        if words[at] in lexicon.ordinal_endings and number.isdigit() and _agree(number, words[at]):
            return 1, Token(Kind.ORDINAL, start, end)
    if words[at] == _ROUND_LETTER and _is_glued_number(pieces, at + 1):
        return 1, Token(Kind.ROUND, start, end)
    run, places = _run(text, pieces, words, at)
    found = lexicon.phrases.longest(run, 0)
    if found is None and words[at].endswith("'s"):  # the second round's lunges
        found = lexicon.phrases.longest([words[at][:-2]], 0)
    if found is None and len(word := words[at].rpartition("'")[2]) >= _SHORTEST_NOUN:
        found = lexicon.phrases.longest([word, *run[1:]], 0)  # l'abdo, d'abdos
    if found is None and (value := glued_number(words[at], lexicon)) is not None:
        return 1, Token(Kind.NUMBER, start, end, value, number_word=True)
    if found is None and (mended := lexicon.mended(words[at])) is not None:
        found = lexicon.phrases.longest([mended], 0)
    if found is None:
        return 1, Token(Kind.WORD, start, end)
    length, meaning = found
    taken = places[length - 1] - at + 1
    if meaning.kind is None:
        return taken, None
    end = pieces[places[length - 1]].end()
    return taken, Token(meaning.kind, start, end, *meaning[1:])


_ROUND_LETTER = "r"  # "R1 28", in every language that is read


def _is_glued_number(pieces: Sequence[re.Match[str]], at: int) -> bool:
    """Say whether a number follows without a space."""
    if at >= len(pieces):
        return False
    return pieces[at].lastgroup == "number" and pieces[at - 1].end() == pieces[at].start()


_LONGEST_PHRASE = 6
_SHORTEST_NOUN = 3  # letters behind an apostrophe


_ENGLISH_ENDINGS = {"st": "1", "nd": "2", "rd": "3"}


def _agree(number: str, ending: str) -> bool:
    """Say whether an English ending fits its number: in "2rd" the letters mean rounds."""
    return number.endswith(_ENGLISH_ENDINGS.get(ending, ""))


def _run(
    text: str, pieces: Sequence[re.Match[str]], words: Sequence[str], at: int
) -> tuple[list[str], list[int]]:
    """Give the words that follow with nothing but spaces and hyphens between, and their places."""
    run, places = [words[at]], [at]
    place = at + 1
    while place < len(pieces) and len(run) < _LONGEST_PHRASE:
        if words[place]:
            gap = text[pieces[places[-1]].end() : pieces[place].start()]
            if gap.strip(" -\t") or "\n" in gap:
                break
            run.append(words[place])
            places.append(place)
        elif pieces[place].group() != "-":
            break
        place += 1
    return run, places


_MERGES = (
    (re.compile("z(?P<n>N)"), Kind.DAY),  # day 2
    (re.compile("E[:o@,]?(?P<n>N)(?:[/o]N)?"), Kind.EFFORT),  # RPE 8
    (re.compile("@?(?P<n>N)(?:[/o]N)?E(?![:o@,]?N)"), Kind.EFFORT),  # 8/10 effort
    (re.compile("[iw]S?(?P<n>N)(?![PRMmchkltqjrxU])"), Kind.EARLIER),  # back in 2015
)


_MERGED = {Kind.DAY_WORD, Kind.EFFORT, Kind.INTO, Kind.PLAN}
_YEARS = range(1950, 2050)


def _with_days_and_efforts(tokens: Sequence[Token]) -> Iterator[Token]:
    """Turn "day 2", "RPE 8" and "8/10 effort" into one token each."""
    code = "".join(token.kind for token in tokens)
    at = 0
    while at < len(tokens):
        for pattern, kind in _MERGES:
            if found := pattern.match(code, at):
                value = tokens[found.start("n")].value
                if kind is Kind.EARLIER and not (isinstance(value, int) and value in _YEARS):
                    continue
                yield Token(kind, tokens[at].start, tokens[found.end() - 1].end, value)
                at = found.end()
                break
        else:
            token = tokens[at]
            if token.kind is Kind.DAY_WORD:
                token = token._replace(kind=Kind.WORD)  # "what a day"
            yield token
            at += 1
