"""Numbers in digits and words: "2,310", "three hundred and five", "nine oh six", "3 1/2"."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import takewhile

from bot.reading.kinds import Kind
from bot.reading.lexicon import Lexicon
from bot.reading.token import Token
from content.words import Joining

_FIGURES = {Kind.NUMBER, Kind.FRACTION, Kind.CLOCK}
_THOUSANDS = 3  # "2,310 m" is two thousand, "2,1 km" a decimal comma


def glued_number(word: str, lexicon: Lexicon) -> int | None:
    """Read a number whose parts are written as one word: "fünfundvierzig"."""
    if lexicon.glued_numbers is None:
        return None
    tokens: list[Token] = []
    at = 0
    while at < len(word):
        part = lexicon.glued_numbers.match(word, at)
        if part is None:
            return None
        _, meaning = lexicon.phrases.longest([part.group()], 0) or (0, None)
        if meaning is None or meaning.kind not in {Kind.NUMBER, Kind.AND}:
            return None
        tokens.append(Token(meaning.kind, at, part.end(), meaning.value, meaning.number_word))
        at = part.end()
    if tokens[0].kind is not Kind.NUMBER:
        return None
    taken, joined = _number_words(tokens, 0, lexicon)
    return _whole(joined) if taken == len(tokens) else None


def in_digits(text: str, message: str, start: int, lexicon: Lexicon) -> Iterator[Token]:
    """Read a number in digits: "2,310 m" is two thousand, "2,1 km" has a decimal comma.

    Where nothing measured follows, a comma is decimal only in languages that write it so: "3,45"
    is two numbers in English.
    """
    end = start + len(text)
    whole, comma, part = text.partition(",")
    measured = message[end : end + 2].strip()[:1].isalpha()
    if comma and len(part) < _THOUSANDS and not (measured or lexicon.decimal_comma):
        middle = start + len(whole)
        yield Token(Kind.NUMBER, start, middle, int(whole))
        yield Token(Kind.COMMA, middle, middle + 1)
        yield Token(Kind.NUMBER, middle + 1, end, int(part))
    elif "." in text or (comma and len(part) < _THOUSANDS):
        yield Token(Kind.FRACTION, start, end, Fraction(text.replace(",", ".")))
    else:
        yield Token(Kind.NUMBER, start, end, int(re.sub(r"\D", "", text)))


def clock_seconds(text: str) -> int:
    """Read minutes:seconds or hours:minutes:seconds as seconds."""
    seconds = 0
    for part in text.split(":"):
        seconds = seconds * 60 + int(part)
    return seconds


def joined_numbers(tokens: Sequence[Token], lexicon: Lexicon) -> Iterator[Token]:
    """Join number words ("three hundred and five"), and whole numbers with their fraction."""
    at = 0
    while at < len(tokens):
        token = tokens[at]
        taken = 1
        if token.kind is Kind.NUMBER and token.number_word:
            ends, token = _number_words(tokens, at, lexicon)
            taken = ends - at
            if (spoken := _spoken(token, tokens[ends : ends + _LONGEST_SPOKEN])) is not None:
                taken += spoken[0]
                token = spoken[1]
            elif token.value == 1 and (
                _is_pronoun(tokens[ends : ends + 1]) or _is_ordinal(tokens[at - 1 : at])
            ):
                token = token._replace(kind=Kind.WORD, value=None)
        elif token.kind is Kind.NUMBER and (fraction := _fraction_at(tokens, at)) is not None:
            taken, token = fraction
        elif token.kind is Kind.NUMBER and _ends_an_ordinal(tokens[at + 1 : at + 2]):
            taken, token = 2, Token(Kind.ORDINAL, token.start, tokens[at + 1].end, token.value)
        elif token.kind in {Kind.POINT, Kind.NOUGHT}:
            token = token._replace(kind=Kind.WORD)
        yield token
        at += taken


_LONGEST_SPOKEN = 5  # tokens behind a number in words that may belong to it
_ONE_DIGIT = 10


def _spoken(number: Token, behind: Sequence[Token]) -> tuple[int, Token] | None:
    """Read "ten and a half", "two point three five", "nine oh six": (tokens taken, the token)."""
    if (worded := _worded_fraction([number, *behind], 0)) is not None:
        return worded[0] - 1, worded[1]
    kinds = [token.kind for token in behind]
    if kinds[:2] == [Kind.NOUGHT, Kind.NUMBER] and _whole(behind[1]) < _ONE_DIGIT:
        seconds = _whole(number) * 60 + _whole(behind[1])
        return 2, Token(Kind.CLOCK, number.start, behind[1].end, seconds)
    if kinds[:2] == [Kind.POINT, Kind.NUMBER]:
        digits = list(takewhile(lambda t: t.kind is Kind.NUMBER, behind[1:]))
        text = "".join(str(token.value) for token in digits)
        value = Fraction(f"{number.value}.{text}")
        return len(digits) + 1, Token(Kind.FRACTION, number.start, digits[-1].end, value)
    return None


def _is_ordinal(before: Sequence[Token]) -> bool:
    return bool(before) and before[0].kind is Kind.ORDINAL  # "the fifth one"


def _is_pronoun(behind: Sequence[Token]) -> bool:
    """Say whether "one" stands for a thing or a person: "one hand", "the best one"."""
    if not behind:
        return True
    figure = behind[0].kind in _FIGURES and not behind[0].number_word  # "hice un 3 + 45"
    return figure or behind[0].kind in _NOT_COUNTED


_NOT_COUNTED = {
    *(Kind.WORD, Kind.STOP, Kind.OTHER, Kind.OF, Kind.OR, Kind.EARLIER, Kind.AT),
    *(Kind.ASKING, Kind.QUESTION_MARK),
}


def _ends_an_ordinal(behind: Sequence[Token]) -> bool:
    return bool(behind) and behind[0].kind is Kind.ORDINAL and behind[0].value is None


def _number_words(tokens: Sequence[Token], at: int, lexicon: Lexicon) -> tuple[int, Token]:
    """Read one number in words, as the language puts them together."""
    total, current = 0, int(_whole(tokens[at]))
    start, end = tokens[at].start, tokens[at].end
    if current in lexicon.multipliers:  # "hundred push-ups"
        total, current = _multiplied(total, 1, current)
    at += 1
    while at < len(tokens):
        token, skip = tokens[at], 1
        joint = token.kind is Kind.AND or (
            token.kind is Kind.COMMA and total > 0 and current == 0  # "two thousand, five"
        )
        if joint and at + 1 < len(tokens):
            token, skip = tokens[at + 1], 2
        if token.kind is not Kind.NUMBER or not token.number_word:
            break
        value = int(_whole(token))
        if value in lexicon.multipliers and skip == 1 and (current or total) < value:
            total, current = _multiplied(total, current, value)
        elif _fits_behind(total, current, value, lexicon.joining, joint=skip > 1):
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


def _fits_behind(total: int, current: int, value: int, joining: Joining, *, joint: bool) -> bool:
    """Say whether a number word goes on from what was read: "forty" "five", not "ten" "three"."""
    if value <= 0:
        return False
    last = current or total
    if last == 0:
        return False
    size = next(size for size in (1000, 100, 10, 1) if last % size == 0)
    if joint and joining.units_first and 1 <= current % 100 < 10:  # noqa: PLR2004 - one digit
        return value in range(20, 100, 10)  # "fünf und vierzig"
    if joint and size not in joining.joint_behind:
        return False
    if size == 10 and current % 100 in joining.teens_behind:  # noqa: PLR2004 - tens
        return value < 20  # noqa: PLR2004 - "soixante-dix"
    return value < size and current % 100 != 10  # noqa: PLR2004 - "ten" takes nothing


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
_MOST_QUARTERS = 3


def _worded_fraction(tokens: Sequence[Token], at: int) -> tuple[int, Token] | None:
    """Read "ten and a half", "one and three quarters": a number, "and", how many parts."""
    if at + 2 >= len(tokens) or [t.kind for t in tokens[at : at + 2]] != [Kind.NUMBER, Kind.AND]:
        return None
    number, part = tokens[at], tokens[at + 2]
    parts, taken = 1, 3
    if part.kind is Kind.NUMBER and at + 3 < len(tokens) and _whole(part) <= _MOST_QUARTERS:
        parts, taken, part = _whole(part), 4, tokens[at + 3]
    if part.kind not in _PARTS:
        return None
    value = _whole(number) + parts * _PARTS[part.kind]
    return taken, Token(Kind.FRACTION, number.start, part.end, value)


_FOURTH = (Kind.ORDINAL, 4)
MEASURED = {
    *(Kind.MINUTE, Kind.HOUR, Kind.KILOMETRE, Kind.MILE, Kind.KILOGRAM, Kind.POUND),
}


def with_parts_behind(tokens: Sequence[Token]) -> Iterator[Token]:
    """Read "2 minutes and a half": the part behind what is measured belongs to its number."""
    at = 0
    while at < len(tokens):
        four = tokens[at : at + 4]
        kinds = [token.kind for token in four]
        if (
            kinds[:1] + kinds[2:] == [Kind.NUMBER, Kind.AND, Kind.NUMBER]
            and kinds[1] in MEASURED
            and [t.kind for t in tokens[at + 4 : at + 5]] == [Kind.QUARTER]
            and _whole(four[3]) <= _MOST_QUARTERS
        ):  # "un minuto y tres cuartos"
            value = _whole(four[0]) + Fraction(_whole(four[3]), 4)
            yield Token(Kind.FRACTION, four[0].start, four[0].end, value)
            yield four[1]._replace(end=tokens[at + 4].end)
            at += 5
        elif (
            kinds[:1] + kinds[2:3] == [Kind.NUMBER, Kind.AND]
            and kinds[1] in MEASURED
            and (kinds[-1] in _PARTS or (kinds[-1], four[-1].value) == _FOURTH)
        ):
            part = _PARTS.get(kinds[-1], Fraction(1, 4))  # "una milla y cuarto"
            value = _whole(four[0]) + part
            yield Token(Kind.FRACTION, four[0].start, four[0].end, value)
            yield four[1]._replace(end=four[-1].end)
            at += 4
        else:
            yield tokens[at]
            at += 1


def _plain_fraction(tokens: Sequence[Token], at: int) -> Fraction | None:
    kinds = [token.kind for token in tokens[at : at + 3]]
    if kinds != [Kind.NUMBER, Kind.SLASH, Kind.NUMBER]:
        return None
    above, below = _whole(tokens[at]), _whole(tokens[at + 2])
    return Fraction(above, below) if below in {2, 3, 4} and above < below else None
