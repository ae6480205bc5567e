"""Cut a message into tokens and give each a kind; join number words, day words and efforts.

Words that carry nothing are dropped, so that patterns stay short; a token knows its place in
the plain text.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from bot.reading.kinds import SIGNS, Kind
from bot.reading.lexicon import Lexicon, MovementName
from bot.reading.normalise import Plain

Value = int | str | Fraction | MovementName | None

_PIECE = re.compile(
    r"""
    (?P<link>https?://\S{1,500})
    | (?P<mention>@[^\W\d]\w{0,40})
    | (?P<long>\d{8,}|0\d{2,}|[$€£#]\s?\d[\d.,]{0,12}|\d[\d.,]{0,12}\s?[$€£%°])
    | (?P<clock>(?:\d{1,2}:)?\d{1,3}:[0-5]\d(?!\d))
    | (?P<number>\d{1,3},\d{3}(?![\d,])|\d{1,4},\d{1,2}(?=\s?[a-z])|\d{1,7}(?:\.\d{1,3}(?![\d.]))?)
    | (?P<word>[^\W\d_]+(?:'[^\W\d_]+)*)
    | (?P<dots>\.{2,})
    | (?P<sign>''|\?+|!+|[^\s\w])
    | (?P<newline>\n+)
    """,
    re.VERBOSE,
)
_NUMBERS = {Kind.NUMBER, Kind.FRACTION, Kind.CLOCK}
_MOST_NUMBERS = 120  # also bounds the work on hostile text


class Token(NamedTuple):
    """One token; `start` and `end` are places in the plain text."""

    kind: Kind
    start: int
    end: int
    value: Value = None
    number_word: bool = False


def tokenise(plain: Plain, lexicon: Lexicon) -> list[Token]:
    """Cut plain text into tokens; none when it is a table of numbers and no message."""
    pieces = list(_cut(plain.text, lexicon))
    if sum(token.kind in _NUMBERS for token in pieces) > _MOST_NUMBERS:
        return []
    tokens = list(_with_days_and_efforts(list(_joined(pieces, lexicon))))
    return [_division(tokens, at, plain, lexicon) for at in range(len(tokens))]


def _division(tokens: Sequence[Token], at: int, plain: Plain, lexicon: Lexicon) -> Token:
    """Take "full" for the division of that name where it does not speak of rounds."""
    token = tokens[at]
    name = lexicon.divisions.get(plain.text[token.start : token.end])
    if token.kind is not Kind.FULL or name is None:
        return token
    before = "".join(t.kind for t in tokens[max(0, at - 2) : at])
    after = tokens[at + 1].kind if at + 1 < len(tokens) else None
    if after is Kind.ROUND or before.endswith("R") or (before[-1:] == "N" and before != "+N"):
        return token
    return token._replace(kind=Kind.DIVISION, value=name)


def _cut(text: str, lexicon: Lexicon) -> Iterator[Token]:
    pieces = list(_PIECE.finditer(text))
    words = [piece.group() if piece.lastgroup == "word" else "" for piece in pieces]
    at = 0
    number_ends = -1  # where the last number ended
    while at < len(pieces):
        piece = pieces[at]
        kind, start, end = piece.lastgroup, piece.start(), piece.end()
        taken = 1
        if kind == "word":
            after_number = number_ends >= 0 and not text[number_ends:start].strip()
            taken, token = _word(text, pieces, words, at, lexicon, after_number=after_number)
            if token is not None:
                yield token
        elif kind == "number":
            yield _number(piece.group(), start, end)
        elif kind == "clock":
            yield Token(Kind.CLOCK, start, end, _clock(piece.group()))
        elif kind == "sign" and piece.group() in lexicon.behind_a_number and number_ends == start:
            yield Token(lexicon.behind_a_number[piece.group()], start, end)
        elif piece.group() == "-" and 0 < at < len(pieces) - 1 and _hyphen(pieces, words, at):
            pass  # forty-five, push-up
        elif kind == "dots":
            yield Token(Kind.STOP, start, end)
        elif kind == "newline" or piece.group()[0] in SIGNS:
            sign = SIGNS[piece.group()[0]]
            if sign is Kind.DASH and text[start - 1 : start] == " " == text[end : end + 1]:
                sign = Kind.COMMA  # a pause, not a minus
            yield Token(sign, start, end)
        elif kind == "mention":
            yield Token(Kind.OTHER, start, end)
        elif kind == "long":
            yield Token(Kind.OTHER_SIGN, start, end)
        number_ends = end if kind == "number" else -1
        at += taken


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
        if words[at] == _ENDINGS.get(number[-1], "th") or (words[at], number[-2:]) == ("th", "13"):
            return 1, Token(Kind.ORDINAL, start, end)
    run, places = _run(text, pieces, words, at)
    found = lexicon.phrases.longest(run, 0)
    if found is None and (mended := lexicon.mended(words[at])) is not None:
        found = lexicon.phrases.longest([mended], 0)
    if found is None:
        return 1, Token(Kind.WORD, start, end)
    length, meaning = found
    taken = places[length - 1] - at + 1
    if meaning.kind is None:
        return taken, None
    end = pieces[places[length - 1]].end()
    return taken, Token(meaning.kind, start, end, meaning.value, meaning.number_word)


_LONGEST_PHRASE = 6
_THOUSANDS = 3  # "2,310 m" is two thousand, "2,1 km" a decimal comma
_ENDINGS = {"1": "st", "2": "nd", "3": "rd"}


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


def _number(text: str, start: int, end: int) -> Token:
    if "." in text or (len(text.rpartition(",")[2]) < _THOUSANDS and "," in text):
        return Token(Kind.FRACTION, start, end, Fraction(text.replace(",", ".")))
    return Token(Kind.NUMBER, start, end, int(text.replace(",", "")))


def _clock(text: str) -> int:
    """Read minutes:seconds or hours:minutes:seconds as seconds."""
    seconds = 0
    for part in text.split(":"):
        seconds = seconds * 60 + int(part)
    return seconds


def _joined(tokens: Sequence[Token], lexicon: Lexicon) -> Iterator[Token]:
    """Join number words ("three hundred and five"), and whole numbers with their fraction."""
    at = 0
    while at < len(tokens):
        token = tokens[at]
        if token.kind is Kind.NUMBER and token.number_word:
            taken, joined = _number_words(tokens, at, lexicon)
            worded = _worded_fraction([joined, *tokens[taken : taken + 2]], 0)
            at, joined = (taken + 2, worded[1]) if worded is not None else (taken, joined)
            yield joined
        elif token.kind is not Kind.NUMBER:
            yield token
            at += 1
        elif (fraction := _fraction_at(tokens, at)) is not None:
            yield fraction[1]
            at += fraction[0]
        elif (
            at + 1 < len(tokens)
            and tokens[at + 1].kind is Kind.ORDINAL
            and tokens[at + 1].value is None
        ):
            yield Token(Kind.ORDINAL, token.start, tokens[at + 1].end, token.value)
            at += 2
        else:
            yield token
            at += 1


def _number_words(tokens: Sequence[Token], at: int, lexicon: Lexicon) -> tuple[int, Token]:
    """Read one number in words: tens take units, hundreds take anything below them."""
    total, current = 0, int(_whole(tokens[at]))
    start, end = tokens[at].start, tokens[at].end
    multipliers = set(lexicon.multipliers.values())
    if current in multipliers:  # "hundred push-ups"
        total, current = _multiplied(total, 1, current)
    at += 1
    while at < len(tokens):
        token, skip = tokens[at], 1
        joint = token.kind is Kind.AND and (current or total) % 100 == 0
        joint = joint or (token.kind is Kind.COMMA and total > 0 and current == 0)
        if joint and at + 1 < len(tokens):
            token, skip = tokens[at + 1], 2  # "three hundred and five", "two thousand, five"
        if token.kind is not Kind.NUMBER or not token.number_word:
            break
        value = int(_whole(token))
        if value in multipliers and skip == 1 and (current or total) < value:
            total, current = _multiplied(total, current, value)
        elif _fits_behind(current, value):
            current += value
        else:
            break
        end, at = token.end, at + skip
    return at, Token(Kind.NUMBER, start, end, total + current, number_word=True)


def _whole(token: Token) -> int:
    assert isinstance(token.value, int)  # noqa: S101 - narrows the type of a NUMBER token
    return token.value


def _multiplied(total: int, current: int, value: int) -> tuple[int, int]:
    """Apply "hundred" or "thousand"; thousands are set aside."""
    if value >= 1000:  # noqa: PLR2004 - a thousand
        return total + max(current, 1) * value, 0
    return total, max(current, 1) * value


def _fits_behind(current: int, value: int) -> bool:
    """Say whether a number word goes on from what was read: "forty" "five", not "ten" "three"."""
    if value == 0:
        return False
    below_hundred = current % 100
    if below_hundred == 0:
        return value < 100  # noqa: PLR2004 - a hundred or nothing before
    return below_hundred >= 20 and below_hundred % 10 == 0 and value < 10  # noqa: PLR2004 - tens


def _fraction_at(tokens: Sequence[Token], at: int) -> tuple[int, Token] | None:
    """Read "1/2", or "3 1/2" and "3½": (tokens taken, the token)."""
    if (worded := _worded_fraction(tokens, at)) is not None:
        return worded
    part = _plain_fraction(tokens, at)
    if part is not None:
        return 3, Token(Kind.FRACTION, tokens[at].start, tokens[at + 2].end, part)
    part = _plain_fraction(tokens, at + 1)
    if part is not None and tokens[at].kind is Kind.NUMBER:
        value = _whole(tokens[at]) + part
        return 4, Token(Kind.FRACTION, tokens[at].start, tokens[at + 3].end, value)
    return None


_PARTS = {Kind.HALF: Fraction(1, 2), Kind.QUARTER: Fraction(1, 4)}


def _worded_fraction(tokens: Sequence[Token], at: int) -> tuple[int, Token] | None:
    """Read "ten and a half": a number, "and", a part."""
    if at + 2 >= len(tokens):
        return None
    number, joint, part = tokens[at : at + 3]
    if number.kind is not Kind.NUMBER or joint.kind is not Kind.AND or part.kind not in _PARTS:
        return None
    value = _whole(number) + _PARTS[part.kind]
    return 3, Token(Kind.FRACTION, number.start, part.end, value)


def _plain_fraction(tokens: Sequence[Token], at: int) -> Fraction | None:
    kinds = [token.kind for token in tokens[at : at + 3]]
    if kinds != [Kind.NUMBER, Kind.SLASH, Kind.NUMBER]:
        return None
    above, below = _whole(tokens[at]), _whole(tokens[at + 2])
    return Fraction(above, below) if below in {2, 3, 4} and above < below else None


_MERGES = (
    (re.compile("z(?P<n>N)"), Kind.DAY),  # day 2
    (re.compile("E[:o@,]?(?P<n>N)(?:/N)?"), Kind.EFFORT),  # RPE 8
    (re.compile("(?P<n>N)/NE"), Kind.EFFORT),  # 8/10 effort
)


def _with_days_and_efforts(tokens: Sequence[Token]) -> Iterator[Token]:
    """Turn "day 2", "RPE 8" and "8/10 effort" into one token each."""
    code = "".join(token.kind for token in tokens)
    at = 0
    while at < len(tokens):
        for pattern, kind in _MERGES:
            if found := pattern.match(code, at):
                value = tokens[found.start("n")].value
                yield Token(kind, tokens[at].start, tokens[found.end() - 1].end, value)
                at = found.end()
                break
        else:
            token = tokens[at]
            if token.kind is Kind.DAY_WORD:
                token = token._replace(kind=Kind.WORD)  # "what a day"
            yield token
            at += 1


class Clause(NamedTuple):
    """Tokens between two full stops, with one letter each in `code`."""

    tokens: Sequence[Token]
    code: str


_OPEN = re.compile("(?:NF?R|R:?N)$")
_AHEAD = 6  # tokens
_REST = re.compile("[.]+(?:[+]|P:?N)")


def _goes_on(before: Sequence[Token], after: Sequence[Token]) -> bool:
    """Say whether a score goes on behind a full stop or on the next line."""
    code = "".join(token.kind for token in before[-3:])
    rest = "".join(token.kind for token in after)
    return bool(_OPEN.search(code) and _REST.match(rest))


def clauses(tokens: Sequence[Token]) -> list[Clause]:
    """Cut tokens into clauses; the question mark stays with its clause."""
    found: list[Clause] = []
    current: list[Token] = []
    for place, cut in enumerate(tokens):
        on = cut.kind is Kind.STOP and _goes_on(current, tokens[place : place + _AHEAD])
        token = cut._replace(kind=Kind.COMMA) if on else cut
        if token.kind is not Kind.STOP:
            current.append(token)
        if token.kind in {Kind.STOP, Kind.QUESTION_MARK} and current:
            found.append(Clause(current, "".join(t.kind for t in current)))
            current = []
    if current:
        found.append(Clause(current, "".join(t.kind for t in current)))
    return found
