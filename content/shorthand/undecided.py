"""Ask about what a jotting leaves open: "10 or 20", "8-10 push-ups", "20 burpees??"."""

from __future__ import annotations

import re
from collections.abc import Sequence

from content.shorthand.chunks import BRACKET
from content.shorthand.clause import ROUND, Clause, Say
from content.shorthand.clauses import NAME, take_clauses
from content.shorthand.sheet import Notes, Span

# There is one of each in a workout.
_ONE_OF_A_KIND = frozenset({Say.ROUNDS, Say.CAP, Say.AMRAP, Say.WINDOW})
_MOST_TIMES = 3  # the higher end of a range is at most so many times the lower one
_NUMBER = r"\d{1,4}"
_UNIT = rf"(?:km|m|s|secs?|seconds?|mins?|minutes?|cals?|kg|lb|{ROUND}|rft)"
# "5 or 6 rounds"
_OR = re.compile(rf"(?<![\w.,/:-])(?P<a>{_NUMBER}) ?(?:/ ?)?or ?(?P<b>{_NUMBER})(?![\w/:]|\.\d)")
# "8-10 push-ups", "20 to 30 s"; a scheme of two comes down or stands before no name.
_RANGE = re.compile(
    rf"(?<![\w.,/:-])(?P<a>{_NUMBER}) ?(?:-|to) ?(?P<b>{_NUMBER})"
    rf"(?= ?(?:reps? )?(?:of )?{NAME}|[ -]?{_UNIT}(?!\w))"
)
_OPEN = re.compile(
    r"\?{1,9}|(?<!\w)(?:tbc|tbd|not sure(?: yet)?|maybe|perhaps|(?:to be )?decided? later)(?!\w)"
)

_QUESTION = re.compile(r"(?<!\w)how (?:many|far|long|heavy)(?!\w)")  # the workout as a question


def ask_undecided(notes: Notes, masked: list[str], line: Span) -> None:
    """Ask, and take the first or lower number; what is asked about is blotted out.

    Args:
        notes: The sheet, and where to ask.
        masked: Its characters, names of movements blotted out.
        line: The line's place.
    """
    text = "".join(masked[line[0] : line[1]])
    for pattern in (_OR, _RANGE):
        for found in pattern.finditer(text):
            if pattern is _RANGE and not _is_narrow(int(found["a"]), int(found["b"])):
                continue
            first = found["a"]
            notes.ask(
                _moved(found.span(), line),
                f"which of the two? Taken as {first} for now.",
                taken=first,
            )
            start, end = _moved(found.span(), line)
            masked[start:end] = first.rjust(end - start)  # next to what it counts
    work = NAME in text or re.search(r"\d", text) is not None
    asks = _QUESTION.search(text) is not None
    for found in _OPEN.finditer(notes.sheet.text, *line):
        quoted = '("' in notes.sheet.text[line[0] : line[1]] and masked[found.start()] == BRACKET
        if work and not quoted and not (asks and found[0] == "?"):
            notes.ask(
                found.span(),
                "this looks undecided; taken as it is written for now.",
                taken="as written",
            )
            start, end = found.span()
            masked[start:end] = " " * (end - start)


def _is_narrow(low: int, high: int) -> bool:
    """Tell a range from a ladder: "8-10 push-ups", not "1 to 10 push-ups" or "20-10 push-ups"."""
    return low < high <= _MOST_TIMES * low


def ask_contradicted(notes: Notes, brackets: Sequence[Span], clauses: Sequence[Clause]) -> None:
    """Ask about "(so 4 rounds in total)" below "5 rounds"."""
    known = {clause.say: clause for clause in reversed(clauses) if clause.say in _ONE_OF_A_KIND}
    told = [span for span in brackets if not notes.sheet.text.startswith('("', span[0])]
    for start, end in told:
        for clause in take_clauses(list(notes.sheet.text[start:end]), (0, end - start)):
            other = known.get(clause.say)
            if other is None or (other.number, other.work_s) == (clause.number, clause.work_s):
                continue
            said = notes.sheet.slice(other.span).strip()
            place = start + clause.span[0], start + clause.span[1]
            notes.ask(place, f"above it says “{said}”; which? Taken as that for now.", taken=said)


def _moved(span: Span, line: Span) -> Span:
    return line[0] + span[0], line[0] + span[1]
