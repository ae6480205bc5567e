"""How ladders are said: rounds, schemes such as 24-18-12, climbing and coming down."""

from __future__ import annotations

import itertools
import re

from content.shorthand.clause import EACH_GO, ONCE, ROUND, Clause, Patterns, Say, any_of, counted
from content.shorthand.measures import NUMBER, number
from content.shorthand.sheet import Span

_MOST_ROUNDS = 1000
_EACH_OF_THEM = r"(?: (?:to |of |on |from )?(?:each|both|all)(?: movements?)?)?"
_UP = any_of(
    r"(?:add(?:ing)?|plus|up|go(?:ing)? up|climb(?:ing)?|increas(?:e|ing)|ris(?:e|ing)) (?:by )?",
)
_DOWN = any_of(
    r"(?:tak(?:e|ing)(?: off| away)?|drop(?:ping)?|minus|los(?:e|ing)|subtract(?:ing)?|down|"
    r"go(?:ing)? down|descend(?:ing)?|reduc(?:e|ing)) (?:by )?",
)
_MORE = any_of(
    # "add 2 reps to each movement every round"
    rf"{_UP}(?P<n1>{NUMBER})(?: reps?)?{_EACH_OF_THEM}(?: {ONCE})? {EACH_GO}(?!\w)",
    rf"\+ ?(?P<n4>{NUMBER})(?: reps?)? {ONCE} {EACH_GO}(?!\w)",  # "+2 each round"
    # "2 more each time"
    rf"(?P<n2>{NUMBER})(?: reps?)? more(?: reps?)? {ONCE} {EACH_GO}(?!\w)",
    # "climb by 2", "in steps of 2"
    r"(?<!\w)(?:add(?:ing)?|climb(?:ing)? by|up by|going up by|increas(?:e|ing) by|"
    rf"(?:in )?steps? (?:of|by)|step) (?P<n3>{NUMBER})"
    r"(?! ?(?:kg|lb|min|s\b|m\b))(?: reps?)?(?: each(?: time)?)?(?!\w)",
)
_FEWER = any_of(
    # "drop 4 every round"
    rf"{_DOWN}(?P<n1>{NUMBER})(?: reps?)?{_EACH_OF_THEM}(?: off)?(?: {ONCE})? {EACH_GO}(?!\w)",
    rf"- ?(?P<n4>{NUMBER})(?: reps?)? {ONCE} {EACH_GO}(?!\w)",  # "-2 each round"
    # "2 fewer each time"
    rf"(?P<n2>{NUMBER})(?: reps?)? (?:fewer|less)(?: reps?)? {ONCE} {EACH_GO}(?!\w)",
    # "going down by 2"
    r"(?<!\w)(?:down by|descending by|going down by|drop(?:ping)?|take off) "
    rf"(?P<n3>{NUMBER})(?: reps?)?(?: each(?: time)?)?(?!\w)",
)
# "10 down to 1", "20 to 4 by 4s"
_DOWN_TO = (
    r"(?<![\w/.])(?P<a>\d{1,3})(?: ?(?:reps? )?(?:down to|up to|to) ?)(?P<b>\d{1,3})"
    r"(?: by (?P<by>\d{1,2})s?)?(?![\w/]|\.\d)(?: reps?)?(?: of)?"
)
# "start at 2", "starting with 20 reps of each"
_START = (
    rf"(?<!\w)start(?:ing|s)?(?: at| with| from| on)? (?P<n>{NUMBER})(?: reps?)?"
    r"(?: (?:of )?each)?(?!\w|:\d| ?(?:min|sec))"
)
# "down to 4", "till you hit 4", "ending on 4"
_BOUND = (
    r"(?<!\w)(?:down to|up to|"
    r"(?:until|till?)(?: (?:you|u|we))?(?: (?:hit|reach|get to|are at))?|"
    r"(?:finish|end)(?:ing)? (?:at|on|with)|stop at) "
    rf"(?P<n>{NUMBER})(?! ?(?:min|sec|s\b|m\b|kg))(?: reps?)?(?!\w)"
)
_NO_UNIT = r"(?![\w/]|\.\d| ?-? ?(?:kg|lb|m\b|km|min|s\b|sec|cal|pood|#))"
_OF = r"(?: reps?)?(?: of)?(?: each)?"
_BEGIN = r"(?<![\w/.:])\d{1,4}"
_SCHEME = any_of(
    # "2-4-6...", "10-9-8-...-1", "2-4-6 etc"
    rf"{_BEGIN}(?: ?- ?\d{{1,4}}){{1,79}} ?-? ?(?:\.{{2,}}(?: ?-? ?\d{{1,4}})?|,? ?etc\.?)"
    rf"(?![\w/]){_OF}",
    # "2, 4, 6, ..."
    rf"{_BEGIN}(?:, ?\d{{1,4}}){{1,79}},? ?(?:\.{{2,}}(?:,? ?\d{{1,4}})?|etc\.?)(?![\w/]){_OF}",
    # "24-18-12 reps of each"
    rf"{_BEGIN}(?: ?- ?\d{{1,4}}){{1,79}}{_NO_UNIT}(?:[ -]reps?)?(?: (?:scheme|rounds))?{_OF}",
    # "24/18/12"
    rf"{_BEGIN}(?:/\d{{1,4}}){{2,79}}{_NO_UNIT}{_OF}",
    # "24 18 12 swings"
    rf"{_BEGIN}(?P<spaced>(?: \d{{1,4}}){{2,79}}){_NO_UNIT}{_OF}",
    # "24, 18, 12 reps"
    rf"{_BEGIN}(?:, ?\d{{1,4}}){{2,79}}(?= ?(?:reps?|of|\n|$|:|\x00|for)){_OF}",
)


def _scheme(found: re.Match[str]) -> Clause | None:
    text = found[0]
    numbers = tuple(int(n) for n in re.findall(r"\d+", text))
    if found["spaced"] and not _goes_one_way(numbers):
        return None
    dots = re.search(r"\.{2,}|etc", text)
    if dots is None:
        return Clause(Say.SCHEME, found.span(), scheme=numbers)
    before = tuple(int(n) for n in re.findall(r"\d+", text[: dots.start()]))
    last = numbers[-1] if len(numbers) > len(before) else None
    return _dotted(found.span(), before, last)


def _goes_one_way(numbers: tuple[int, ...]) -> bool:
    """Tell whether numbers with nothing but blanks between them look like a scheme."""
    steps = [b - a for a, b in itertools.pairwise(numbers)]
    return all(step > 0 for step in steps) or all(step < 0 for step in steps)


def _dotted(span: Span, before: tuple[int, ...], last: int | None) -> Clause | None:
    """Read "2-4-6..." as climbing on, "10-9-8...1" as written out."""
    if len(before) < 2:  # noqa: PLR2004 - one number has no step
        return None
    step = before[1] - before[0]
    even = all(b - a == step for a, b in itertools.pairwise(before))
    if not even or step == 0:
        return None
    if last is None and step > 0:
        return Clause(Say.SCHEME, span, scheme=before, endless=True)
    if last is None:
        last = before[-1] % -step or -step
    count, rest = divmod(last - before[0], step)
    if rest or count < len(before) - 1:
        return None
    scheme = tuple(before[0] + step * n for n in range(min(count + 1, _MOST_ROUNDS)))
    return Clause(Say.SCHEME, span, scheme=scheme, number=step)


def _down_to(found: re.Match[str]) -> Clause | None:
    """Read "10 down to 1", "20 to 4 by 4"."""
    first, last = int(found["a"]), int(found["b"])
    by = int(found["by"] or 1)
    step = by if last > first else -by
    if first == last or by == 0 or (last - first) % step:
        return None
    scheme = tuple(range(first, last + (1 if step > 0 else -1), step))
    return Clause(Say.SCHEME, found.span(), scheme=scheme, number=step)


def _rounds_for_time(found: re.Match[str]) -> Clause:
    return Clause(Say.ROUNDS, found.span(), number=number(found["n"]), label="for time")


_ROUNDS = any_of(
    # "5 rounds of", "x 5 rds", "3 times through"
    rf"(?:for |x ?)?(?P<n1>{NUMBER}) ?"
    rf"(?:{ROUND}|circuits?|laps of the list|times through|times around)(?!\w)"
    r"(?: through)?(?: of(?! \d{1,3} ?s))?",
    # "rounds: 5", "repeat 5 times"; "round 3" is the third
    rf"(?:rounds|rds|repeat|do it|all of it)(?: x| :|:)? ?(?P<n2>{NUMBER})(?: times)?"
    r"(?!\w|:\d| ?min)",
    rf"(?P<n3>{NUMBER}) sets(?: of)?(?!\w)",  # "4 sets of"
    r"(?m:^ *(?:supersets? )?(?P<n4>\d{1,2}) ?x ?:)",  # "4x: ...", "superset 4x: ..."
    r"(?m:^ *x ?(?P<n5>\d{1,2})(?= *(?:$|[,;])))",  # "x 4" below the list
)
LADDERS: Patterns = tuple(
    (re.compile(pattern), reader)
    for pattern, reader in (
        (_MORE, counted(Say.STEP)),
        (_FEWER, counted(Say.STEP, sign=-1)),
        (_DOWN_TO, _down_to),
        (_START, counted(Say.START)),
        (_BOUND, counted(Say.BOUND)),
        (_SCHEME, _scheme),
        (
            rf"(?<![\w.])(?P<n>{NUMBER}) ?(?:rft|{ROUND} (?:for|4) ?time)(?!\w)(?: of)?",
            _rounds_for_time,
        ),
        (_ROUNDS, counted(Say.ROUNDS)),
    )
)
