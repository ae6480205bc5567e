"""Cut a message into tokens and give each a kind; join number words, day words and efforts.

Words that carry nothing are dropped, so that patterns stay short; a token knows its place in
the plain text.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from fractions import Fraction
from itertools import takewhile
from typing import NamedTuple

from bot.reading.kinds import SIGNS, Kind
from bot.reading.lexicon import Lexicon, MovementName
from bot.reading.normalise import Plain
from content.words import Joining

Value = int | str | Fraction | MovementName | None

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


class Token(NamedTuple):
    """One token; `start` and `end` are places in the plain text."""

    kind: Kind
    start: int
    end: int
    value: Value = None
    number_word: bool = False
    everyday: bool = False


def tokenise(
    plain: Plain, lexicon: Lexicon, people: AbstractSet[str] = frozenset()
) -> list[Token]:
    """Cut plain text into tokens; none when it is a table of numbers and no message.

    `people` are names that stand for somebody else, unless they are words we know.
    """
    pieces = list(_cut(plain.text, lexicon))
    if people:
        pieces = [_named(piece, plain, people) for piece in pieces]
    if sum(token.kind in _NUMBERS for token in pieces) > _MOST_NUMBERS:
        return []
    if "." in lexicon.ordinal_endings:
        pieces = list(_with_dotted_ordinals(pieces))
    tokens = list(_joined(pieces, lexicon))
    kinds = {token.kind for token in tokens}
    # Most messages need none of these.
    if not kinds.isdisjoint(_MEASURED) and Kind.AND in kinds:
        tokens = list(_with_parts_behind(tokens))
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


def _named(token: Token, plain: Plain, people: AbstractSet[str]) -> Token:
    """Take a word for somebody else if it is a name: "marta", "Marta's"."""
    if token.kind is not Kind.WORD:
        return token
    word = plain.text[token.start : token.end].partition("'")[0]
    return token._replace(kind=Kind.OTHER) if word in people else token


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
            if token is not None:
                yield token
            last = token
        elif kind == "number":
            yield from _numbers(piece.group(), text, start, lexicon)
        elif kind == "clock":
            yield Token(Kind.CLOCK, start, end, _clock(piece.group()))
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
    run, places = _run(text, pieces, words, at)
    found = lexicon.phrases.longest(run, 0)
    if found is None and words[at].endswith("'s"):  # the second round's lunges
        found = lexicon.phrases.longest([words[at][:-2]], 0)
    if found is None and len(word := words[at].rpartition("'")[2]) >= _SHORTEST_NOUN:
        found = lexicon.phrases.longest([word, *run[1:]], 0)  # l'abdo, d'abdos
    if found is None and (value := _glued(words[at], lexicon)) is not None:
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


_LONGEST_PHRASE = 6
_SHORTEST_NOUN = 3  # letters behind an apostrophe
_THOUSANDS = 3  # "2,310 m" is two thousand, "2,1 km" a decimal comma


_ENGLISH_ENDINGS = {"st": "1", "nd": "2", "rd": "3"}


def _agree(number: str, ending: str) -> bool:
    """Say whether an English ending fits its number: in "2rd" the letters mean rounds."""
    return number.endswith(_ENGLISH_ENDINGS.get(ending, ""))


def _glued(word: str, lexicon: Lexicon) -> int | None:
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


def _numbers(text: str, message: str, start: int, lexicon: Lexicon) -> Iterator[Token]:
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
        taken = 1
        if token.kind is Kind.NUMBER and token.number_word:
            ends, token = _number_words(tokens, at, lexicon)
            taken = ends - at
            if (spoken := _spoken(token, tokens[ends : ends + _LONGEST_SPOKEN])) is not None:
                taken += spoken[0]
                token = spoken[1]
            elif token.value == 1 and _is_pronoun(tokens[ends : ends + 1]):
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


def _is_pronoun(behind: Sequence[Token]) -> bool:
    """Say whether "one" stands for a thing or a person: "one hand", "the best one"."""
    if not behind:
        return True
    figure = behind[0].kind in _NUMBERS and not behind[0].number_word  # "hice un 3 + 45"
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
_MEASURED = {Kind.MINUTE, Kind.HOUR, Kind.KILOMETRE, Kind.MILE}


def _with_parts_behind(tokens: Sequence[Token]) -> Iterator[Token]:
    """Read "2 minutes and a half": the part behind what is measured belongs to its number."""
    at = 0
    while at < len(tokens):
        four = tokens[at : at + 4]
        kinds = [token.kind for token in four]
        if (
            kinds[:1] + kinds[2:3] == [Kind.NUMBER, Kind.AND]
            and kinds[1] in _MEASURED
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


_MERGES = (
    (re.compile("z(?P<n>N)"), Kind.DAY),  # day 2
    (re.compile("E[:o@,]?(?P<n>N)(?:/N)?"), Kind.EFFORT),  # RPE 8
    (re.compile("@?(?P<n>N)(?:/N)?E(?![:o@,]?N)"), Kind.EFFORT),  # 8/10 effort
    (re.compile("i(?P<n>N)(?![PRMmchkltqjrx])"), Kind.EARLIER),  # in 2015
)


_MERGED = {Kind.DAY_WORD, Kind.EFFORT, Kind.INTO}
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


class Clause(NamedTuple):
    """Tokens between two full stops, with one letter each in `code`."""

    tokens: Sequence[Token]
    code: str


_OPEN = re.compile("(?:NF?R|R[fd]?:?N|f[Ro]{0,2}N[c']?|fRN|fOR|[io%](?:N[c']?|RN|OR?W?|R))$")
_AHEAD, _BEHIND = 6, 5  # tokens
_REST = re.compile(
    "[.]+(?:[+]|P[W@]{0,2}:?N|[io]{1,2}(?:N[c']?|RN|OR?)[:,]|[dfWa]{0,3}(?:J|N[oi]{0,2})M)"
)


def _goes_on(before: Sequence[Token], after: Sequence[Token]) -> bool:
    """Say whether a score goes on behind a full stop or on the next line."""
    code = "".join(token.kind for token in before[-_BEHIND:])
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
    return [part for clause in found for part in _parted(clause)]


_QUESTION_BEHIND = re.compile(",Q[^,]*[?]$")  # "3 rounds and 12 reps, is that bad?"


def _parted(clause: Clause) -> Iterator[Clause]:
    """Part a question from what is told in front of it; drop question words that ask nothing."""
    if (behind := _QUESTION_BEHIND.search(clause.code)) is not None and behind.start():
        for tokens in (clause.tokens[: behind.start()], clause.tokens[behind.start() + 1 :]):
            yield from _parted(Clause(tokens, "".join(t.kind for t in tokens)))
        return
    kept = [
        token
        for place, token in enumerate(clause.tokens)
        if token.kind is not Kind.ASKING or place == 0 or clause.code[place - 1] in ",Q"
    ]
    yield Clause(kept, "".join(t.kind for t in kept))
