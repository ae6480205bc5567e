"""Read a message: the steps in order, from plain text to a reading. Pure; `Scene` is all it knows.

signs of an emergency -> a score in some clause -> a question we can answer -> chatter
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from bot.reading import measured_scores as measured
from bot.reading.found import Found
from bot.reading.kinds import Kind
from bot.reading.ladder_scores import LadderReader, blanked
from bot.reading.lexicon import WORD, Lexicon, build_lexicon
from bot.reading.measured_scores import MeasureReader
from bot.reading.normalise import Plain, normalise
from bot.reading.plausible import is_possible
from bot.reading.questions import named_movements, read_question
from bot.reading.signs import health_signs
from bot.reading.tokens import Clause, Token, clauses, tokenise
from bot.reading.values import (
    Ask,
    Caution,
    Chatter,
    DayWord,
    Reading,
    Said,
    ScoreRead,
    Why,
)
from bot.reading.weigh import counts, weigh
from content.challenge import Division, RestDay, WorkoutDay
from content.ladder import extra_room
from content.movement import Movement
from content.score import RoundsAndReps, Score, ScoreKind
from content.task import Task, task_of
from content.words import load_words

# Somebody else's words: a line behind ">", or a stretch in quotation marks amid others.
_QUOTED = re.compile(r"^[ \t]*>.*$|(?<=\w[ ,:])\"[^\"\n]{3,200}\"", re.MULTILINE)


def _readers(task: Task) -> list[LadderReader | MeasureReader]:
    """Give what reads the task's kind of score, in order: what one has read no later one does."""
    kind = task.workout.score
    if kind is ScoreKind.ROUNDS_AND_REPS:
        return [LadderReader(task)]
    if kind is not ScoreKind.TIME:
        return [MeasureReader(task, _MEASURED[kind])]
    if task.workout.cap_s is None:
        return [MeasureReader(task, measured.DURATION)]
    return [
        MeasureReader(task, measured.CAP),
        LadderReader(task),
        MeasureReader(task, measured.DURATION),
        MeasureReader(task, measured.CAP_ALONE),
    ]


_MEASURED = {
    ScoreKind.HOLD: measured.DURATION,
    ScoreKind.DISTANCE: measured.DISTANCE,
    ScoreKind.LOAD: measured.LOAD,
    ScoreKind.LOWEST_ROUND: measured.LOWEST,
    ScoreKind.TOTAL_REPS: measured.TOTAL,
    ScoreKind.DONE: measured.DONE,
}
_MOST_FOUND = 50  # in one clause; bounds the work on hostile text
_MORE_OF_IT = re.compile("NM|^[i+a,]*N?M.*M|^[iof]{1,2}Nc?[:,]|^[+]N")
_HIGHEST = re.compile("BN")
# A message that is a bare number may carry these besides: division, day, effort, "got", thanks.
_BARE = re.compile("[VyYEZA,ad:@]*(?P<x>[ND])[VyYEA,a]*")
_SWAP = re.compile("(?P<new>N)P?,?n(?P<old>N)|n(?P<old2>N)P?[,a:-]*(?P<new2>N)")


@dataclass(frozen=True)
class Scene:
    """What the reader may know besides the text.

    `days` are the challenge's days by number; looking up a day that is not there may raise
    KeyError, then the text is read against today's. `previous` is what the sender has on record
    for today: "54 not 45" needs it.
    """

    today: int
    days: Mapping[int, WorkoutDay | RestDay]
    division: str
    previous: Score | None = None
    by_calendar: int | None = None  # number of the day by the local date, which "yesterday" means


@lru_cache
def _words_of(language: str) -> Lexicon:
    return build_lexicon(load_words(language), movements=(), divisions=())


def emergency_signs(text: str, language: str = "en") -> tuple[str, ...]:
    """Give the signs of an emergency a text names, whatever else it says."""
    words = WORD.findall(normalise(text).text)
    return health_signs(text, words, _words_of(language)) if words else ()


class Reader:
    """Reads the messages of one challenge."""

    def __init__(
        self,
        *,
        movements: Mapping[str, Movement],
        divisions: Sequence[Division],
        language: str = "en",
        people: Iterable[str] = (),
    ) -> None:
        self._movements = movements
        self._lexicon = build_lexicon(
            load_words(language), movements=movements.values(), divisions=divisions, people=people
        )
        self._tasks: dict[tuple[int, str], tuple[WorkoutDay, Task]] = {}

    def read(self, text: str, scene: Scene) -> Reading:
        """Read one message. Never raises, whatever the text."""
        plain = normalise(text)
        words = WORD.findall(plain.text)
        if words and (signs := health_signs(text, words, self._lexicon)):
            return Caution(signs)
        plain = Plain(_QUOTED.sub(_blank, plain.text), plain.origin, plain.message)
        tokens = tokenise(plain, self._lexicon)
        told = clauses(tokens)
        if (score := self._score(plain, tokens, told, scene)) is not None:
            return score
        today = scene.days[scene.today]
        asked = any("?" in clause.code or clause.code[0] == "Q" for clause in told)
        question = read_question(
            words, self._lexicon, asked=asked, nearest_first=_todays(today, scene.division)
        )
        return question or Chatter()

    def movements_named(self, name: str, scene: Scene) -> tuple[str, ...]:
        """Give the ids of the movements a name can mean, today's first; none, one or several."""
        nearest_first = _todays(scene.days[scene.today], scene.division)
        return named_movements(WORD.findall(normalise(name).text), self._lexicon, nearest_first)

    def task(self, scene: Scene, *, division: str | None, day: DayWord | None) -> Task | None:
        """Give the work a score is judged on, or None on a rest day."""
        try:
            named = scene.days[day_number(day, scene)]
        except KeyError:
            named = scene.days[scene.today]
        if isinstance(named, RestDay):
            return None
        known = named.workout.divisions
        wanted = division or scene.division
        return self._task_of(named, wanted if wanted in known else next(iter(known)))

    def _task_of(self, day: WorkoutDay, division: str) -> Task:
        """Put a task together once; the day is kept so that its id stays its own."""
        key = (id(day), division)
        if key not in self._tasks:
            self._tasks[key] = (day, task_of(day, division, self._movements))
        return self._tasks[key][1]

    def _score(
        self, plain: Plain, tokens: Sequence[Token], told: Sequence[Clause], scene: Scene
    ) -> Reading | None:
        said = _said(tokens)
        task = self.task(scene, division=said.division, day=said.day)
        if task is None:
            return None
        found = list(_found_in_all(told, task, plain))
        if not found:
            found = list(_found_bare(told, task, scene, correction=said.correction))
        if not found:
            return None
        found = _with_rest(found, task)
        decided = weigh([each for _, each in found], correction=said.correction)
        if decided is None:
            return None
        clause, place = next((c, f) for c, f in found if f is decided.rests_on)
        first, last = clause.tokens[place.first], clause.tokens[place.last]
        said = Said(
            quote=plain.quote(first.start, last.end),
            division=said.division,
            day=said.day,
            correction=said.correction or place.is_correction,
            effort=said.effort,
        )
        if decided.why is not None:
            return Ask(decided.why, decided.scores, said)
        others = [each for each in told if each is not clause]
        if place.on_ladder and len(found) == 1 and any(map(_more_of_it, others)):
            return Ask(Why.UNSURE, decided.scores, said)
        score = decided.scores[0]
        if not is_possible(score, task):
            return Ask(Why.TOO_FAST, (score,), said)
        if "?" in clause.code:
            return Ask(Why.UNSURE, (score,), said)
        return ScoreRead(score, said)


def _more_of_it(clause: Clause) -> bool:
    """Say whether a clause goes on with a place: "In the twelves: 12 presses, 3 climbers."."""
    return _MORE_OF_IT.search(clause.code) is not None


def day_number(day: DayWord | None, scene: Scene) -> int:
    """Give the number of the day a word names; without a word, the one that is on."""
    if day is None:
        return scene.today
    if day.number is not None:
        return day.number
    by_calendar = scene.today if scene.by_calendar is None else scene.by_calendar
    return by_calendar + (day.offset or 0)


def _blank(match: re.Match[str]) -> str:
    return " " * len(match.group())


def _todays(day: WorkoutDay | RestDay, division: str) -> Sequence[Sequence[str]]:
    """Give the movements of a day: the asker's division, the others, the warm-up."""
    if isinstance(day, RestDay):
        return ()
    own: list[str] = []
    others: list[str] = []
    for name, ladder in day.workout.divisions.items():
        (own if name == division else others).extend(rung.movement for rung in ladder.rungs)
    return own, others, day.warm_up.movements


def _said(tokens: Sequence[Token]) -> Said:
    """Gather what stands beside a score: division, day, correction, effort."""
    division, day, effort, correction = None, None, None, False
    for place, token in enumerate(tokens):
        behind = "".join(t.kind for t in tokens[place + 1 : place + 3])
        measured = behind in {"Nk", "Dk", "Nl", "Dl"}  # "bodyweight 82.4 kg"
        if token.kind is Kind.DIVISION and division is None and not measured:
            division = str(token.value)
        elif token.kind is Kind.DAY and day is None and isinstance(token.value, int):
            day = DayWord(offset=-1) if token.value < 0 else DayWord(number=token.value)
        elif token.kind is Kind.EFFORT and isinstance(token.value, int) and token.value <= 10:  # noqa: PLR2004
            effort = token.value
        elif token.kind is Kind.CORRECTION:
            correction = True
    return Said("", division, day, correction, effort)


def _found_in_all(
    told: Sequence[Clause], task: Task, plain: Plain
) -> Iterator[tuple[Clause, Found]]:
    """Give what the patterns of the task's kind of score find, clause by clause."""
    readers = _readers(task)
    everybodys: list[tuple[Clause, Found]] = []
    theirs: set[Score] = set()
    if task.workout.score is ScoreKind.LOWEST_ROUND and (
        numbered := MeasureReader(task).numbered(told)
    ):
        everybodys.append((told[0], numbered))
    for clause in told:
        if not any(letter in clause.code for letter in "NDCOHKXdf"):
            continue
        # What was best of several says nothing about the lowest.
        code = _HIGHEST.sub("__", clause.code)
        found: list[Found] = []
        for reader in readers:
            for each, match in reader.read(clause, code):
                found.append(each)
                code = blanked(code, match)
        own, others = counts(
            found[:_MOST_FOUND], clause, code, plain, has_cap=task.workout.cap_s is not None
        )
        everybodys.extend((clause, each) for each in own)
        theirs.update(score for each in others for score in each.scores)
    for clause, each in everybodys:
        if not each.scores or not theirs.issuperset(each.scores):
            yield clause, each


def _with_rest(found: list[tuple[Clause, Found]], task: Task) -> list[tuple[Clause, Found]]:
    """Join whole rounds and a rest told apart: "4 rounds", and on a later line "31 reps".

    The rest cannot be a total: that would be less than the rounds beside it.
    """
    if len(found) != 2 or task.steps is None:  # noqa: PLR2004 - the two
        return found
    # Whichever pattern found it first, the rounds are the larger.
    (clause, rounds), (_, rest) = sorted(
        found,
        key=lambda each: (
            -max((s.total_reps for s in each[1].scores if isinstance(s, RoundsAndReps)), default=0)
        ),
    )
    match rounds.scores, rest.scores:
        case [RoundsAndReps(reps=0) as whole], [RoundsAndReps() as told] if (
            rounds.why is rest.why is None
            and told.total_reps < whole.total_reps
            and told.total_reps <= extra_room(task.steps, whole.rounds)
        ):
            total = whole.total_reps + told.total_reps
            joined = RoundsAndReps(whole.rounds, told.total_reps, total)
            return [(clause, replace(rounds, scores=(joined,)))]
    return found


def _found_bare(
    told: Sequence[Clause], task: Task, scene: Scene, *, correction: bool
) -> Iterator[tuple[Clause, Found]]:
    """Read a message that is one bare number, or the change of one ("54 not 45")."""
    previous = scene.previous
    for clause in told:
        if isinstance(previous, RoundsAndReps) and (swap := _SWAP.search(clause.code)):
            groups = ("new", "old") if swap["new"] else ("new2", "old2")
            new, old = (clause.tokens[swap.start(g)].value for g in groups)
            if isinstance(new, int) and old in (previous.reps, previous.total_reps):
                yield from _changed(
                    clause, swap, new, task, previous, is_rest=old == previous.reps
                )
                return
    if len(told) != 1 or not (match := _BARE.fullmatch(told[0].code)):
        return
    clause, place = told[0], match.start("x")
    token = clause.tokens[place]
    if task.steps is not None and task.workout.score is ScoreKind.ROUNDS_AND_REPS:
        scores = list(_bare_on_ladder(token, task, previous if correction else None))
        why: Why | None = Why.BARE_NUMBER
    else:
        scores_found, why = MeasureReader(task).bare(token)
        scores = list(scores_found)
        if why is Why.WHICH_UNIT and len(scores) == 1:
            why = None
    if scores:
        yield clause, Found(place, place, tuple(dict.fromkeys(scores)), why)


def _bare_on_ladder(token: Token, task: Task, previous: Score | None) -> Iterator[Score]:
    """Give what a bare number can mean on rounds and repetitions."""
    value = token.value
    if not isinstance(value, int) or task.steps is None:
        return
    ladder = LadderReader(task)
    if isinstance(previous, RoundsAndReps):
        through = previous.total_reps - previous.reps
        if value < task.steps.through(previous.rounds + 1) - through:
            yield ladder.score(through + value)
    for total in (value, task.steps.through(min(value, 200))):
        score = ladder.score(total)
        if total > 0 and is_possible(score, task):
            yield score


def _changed(
    clause: Clause,
    match: re.Match[str],
    new: int,
    task: Task,
    previous: RoundsAndReps,
    *,
    is_rest: bool,
) -> Iterator[tuple[Clause, Found]]:
    if task.steps is None:
        return
    total = previous.total_reps - previous.reps + new if is_rest else new
    score = LadderReader(task).score(total)
    why = (
        None
        if isinstance(score, RoundsAndReps) and (not is_rest or score.rounds == previous.rounds)
        else Why.EXTRA_REPS_EXCEED_ROUND
    )
    yield clause, Found(match.start(), match.end() - 1, (score,), why)
