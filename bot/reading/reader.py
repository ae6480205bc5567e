"""Read a message: the steps in order, from plain text to a reading. Pure; `Scene` is all it knows.

signs of an emergency -> the weather -> a score in some clause -> a question -> chatter
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache

from bot.reading import measured_scores as measured
from bot.reading.alternatives import either
from bot.reading.clauses import Clause, clauses
from bot.reading.days import by_day, is_in_passing
from bot.reading.doubt import Around, around, likelihood
from bot.reading.evidence import Evidence
from bot.reading.found import Found
from bot.reading.gate import Gate
from bot.reading.kinds import Kind
from bot.reading.ladder_scores import LadderReader, blanked
from bot.reading.language import Languages
from bot.reading.lexicon import WORD, Asked, Lexicon, build_lexicon
from bot.reading.loose_scores import LooseReader
from bot.reading.measured_scores import MeasureReader, load_g
from bot.reading.normalise import Plain, normalise
from bot.reading.plausible import is_conceivable, is_possible
from bot.reading.questions import Judge, hear, named_movements, read_question
from bot.reading.signs import HealthSigns
from bot.reading.subjects import likely
from bot.reading.taking_back import TakingOut, wants_back
from bot.reading.token import Token
from bot.reading.tokens import tokenise
from bot.reading.values import (
    About,
    Ask,
    Caution,
    Chatter,
    DayWord,
    Question,
    Reading,
    Said,
    ScoreRead,
    TakeBack,
    Why,
)
from bot.reading.weather import may_tell_weather, read_weather
from bot.reading.weigh import MOST_CHOICES, counts, weigh
from content.challenge import Division, RestDay, WorkoutDay
from content.ladder import extra_room
from content.loading import movement_library
from content.movement import Movement
from content.score import Amount, RoundsAndReps, Score, ScoreKind
from content.task import Task, task_of
from content.words import Words, languages, load_words

_DIGIT = re.compile("[0-9]")
_ASKS = re.compile("[?]|(?:^|,)Q")  # "hello, what is on today"
# Somebody else's words: a line behind ">", or a stretch in quotation marks amid others.
_QUOTED = re.compile(
    r"^[ \t]*>.*$|(?<=\w[ ,:])\"[^\"\n]{3,200}\"|^\"[^\"\n]{3,200}\"(?=[ ,]{1,2}\w)", re.MULTILINE
)


ScoreReader = LadderReader | MeasureReader | LooseReader


def _readers(task: Task) -> list[ScoreReader]:
    """Give what reads the task's kind of score, in order: what one has read no later one does."""
    return [*_sure_readers(task), LooseReader(task)]


def _sure_readers(task: Task) -> list[ScoreReader]:
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
_ENGLISH = "en"
_MOST_FOUND = 50  # in one clause; bounds the work on hostile text
_MORE_OF_IT = re.compile("NM|^[i+a,]*N?M.*M|^[iof]{1,2}Nc?[:,]|^[+]N")
_NOT_A_COUNT = re.compile("BN|[ND]S")
# A message that is a bare number may carry these besides: division, day, effort, "got", thanks.
_BARE = re.compile("[VyYEZA,ad:@v]*(?P<x>[ND])(?:[VyYEA,a]*|a?v.*)")
_SWAP = re.compile(
    "(?P<new>N)(?P<round>R?)P?,?W?n(?P<old>N)(?!R?[+a])|n(?P<old2>N)P?[,a:-]*(?P<new2>N)(?![R+])"
)


@dataclass(frozen=True)
class Scene:
    """What the reader may know besides the text.

    `days` are the challenge's days by number; looking up a day that is not there may raise
    KeyError, then the text is read against today's. `previous` is what the sender has on record
    for today: "54 not 45" needs it. `dates` are the local dates of the days by number, which need
    not be consecutive; without them "yesterday" is the day before, and no weekday is known.
    """

    today: int
    days: Mapping[int, WorkoutDay | RestDay]
    division: str
    previous: Score | None = None
    dates: Mapping[int, date] | None = None
    said_on: date | None = None  # the local date of the message; without it, that of today's day
    language: str | None = None  # the sender's; a message may be in another all the same
    people: frozenset[str] = frozenset()  # names of the others, in plain words: "Marta 4 + 10"
    to_us: bool = False  # said to the bot: in private, as a reply to it or by its name
    in_private: bool = False  # what is said there is for nobody else


@cache
def _words() -> Mapping[str, Words]:
    return {language: load_words(language) for language in languages()}


@cache
def _signs() -> HealthSigns:
    return HealthSigns.of(_words().values())


@cache
def _languages() -> Languages:
    return Languages(_words(), movement_library().values())


@cache
def _asked(language: str) -> Asked:
    return Asked.of([_words()[name] for name in dict.fromkeys((language, _ENGLISH))])


@cache
def _taking_out() -> TakingOut:
    return TakingOut.of(_words().values())


@cache
def _evidence(language: str) -> Evidence:
    return Evidence([_words()[name] for name in dict.fromkeys((language, _ENGLISH))])


@cache
def _gate() -> Gate:
    return Gate.of(_words().values())


def emergency_signs(text: str) -> tuple[str, ...]:
    """Give the signs of an emergency a text names in any language, whatever else it says."""
    return _signs().named_in(text, WORD.findall(normalise(text).text))


def could_matter(text: str) -> bool:
    """Say whether a text may be anything but chatter, on any day of any challenge.

    Costs microseconds; a no is certain, so that nothing need be fetched to read the text.
    """
    plain = normalise(text)
    words = WORD.findall(plain.text)
    gate = _gate()
    return bool(
        gate.may_score(plain.text, words)
        or gate.may_be_done(words)
        or gate.may_ask(plain.text, words)
        or gate.may_take_back(words)
        or _taking_out().may_be_wished(words)
        or _signs().named_in(text, words)
    )


class Reader:
    """Reads the messages of one challenge."""

    def __init__(
        self,
        *,
        movements: Mapping[str, Movement],
        divisions: Sequence[Division],
        language: str = _ENGLISH,
        judge: Callable[[Around], float] = likelihood,
        judge_question: Judge = likely,
    ) -> None:
        self._movements = movements
        self._divisions = tuple(divisions)
        self._language = language
        self._judge = judge
        self._judge_question = judge_question
        self._lexicons: dict[str, Lexicon] = {}
        self._readers: dict[int, Sequence[ScoreReader]] = {}
        self._tasks: dict[tuple[int, str], tuple[WorkoutDay, Task]] = {}

    def read(self, text: str, scene: Scene) -> Reading:
        """Read one message. Never raises, whatever the text."""
        plain = normalise(text)
        words = WORD.findall(plain.text)
        if signs := _signs().named_in(text, words):
            return Caution(signs)
        weather = None
        if may_tell_weather(plain.text):
            weather = read_weather(text, _languages().of(words, scene.language or self._language))
        if weather is None:
            return self._read(plain, words, scene)
        about = Question(About.SAFETY, weather=weather.air)
        if weather.asks:
            return about
        # Every number in digits belongs to the weather; one in words may still be a score.
        wordy = self._read(replace(plain, text=_DIGIT.sub(" ", plain.text)), words, scene)
        if isinstance(wordy, ScoreRead | Ask | TakeBack):
            return wordy
        return about if scene.to_us and not weather.is_past else Chatter()

    def _read(self, plain: Plain, words: Sequence[str], scene: Scene) -> Reading:
        """Read a message that names no sign of an emergency and does not ask about the weather."""
        gate = _gate()
        may_score = gate.may_score(plain.text, words) or (
            gate.may_be_done(words) and _is_done_enough(scene)
        )
        may_ask = scene.in_private or gate.may_ask(plain.text, words)
        may_take_back = gate.may_take_back(words) or _taking_out().may_be_wished(words)
        if not (may_score or may_ask or may_take_back):
            return Chatter()
        language = _languages().of(words, scene.language or self._language)
        lexicon = self._lexicon(language)
        plain = replace(
            plain,
            text=_QUOTED.sub(_blank, plain.text),
            capital_nouns=lexicon.capital_nouns,
        )
        tokens = tokenise(plain, lexicon, scene.people)
        score = self._scores(plain, tokens, scene) if may_score else None
        if isinstance(score, ScoreRead):
            return score
        asked = "?" in plain.text
        if may_take_back and (
            wants_back(words, lexicon, asked=asked)
            or _taking_out().is_wished(words, lexicon, asked=asked)
        ):
            return TakeBack(_said(tokens, scene, plain).day)
        if not may_ask:
            return score or Chatter()
        heard = hear(
            words,
            tokens,
            lexicon,
            _evidence(language if language in _words() else _ENGLISH),
            asked=any(_ASKS.search(clause.code) for clause in clauses(tokens)),
            has_mark="?" in plain.text,
        )
        question = read_question(
            heard,
            words,
            lexicon,
            nearest_first=_todays(scene.days[scene.today], scene.division),
            movements=self._movements,
            is_addressed=scene.in_private,
            beside_a_score=score is not None,
            judge=self._judge_question,
        )
        if question is None:
            return score or Chatter()
        # "10:10? or 10:01?" is a score still; "did my 59:10 get saved?" is none.
        is_score = isinstance(score, Ask) and (
            score.why is Why.TWO_SCORES or question.about is About.STANDARD
        )
        return score if is_score and score is not None else question

    def _lexicon(self, language: str) -> Lexicon:
        """Give the lexicon of a message's main language, built when it is first needed."""
        known = _words()
        main = known.get(language, known[_ENGLISH])
        if language not in self._lexicons:
            self._lexicons[language] = build_lexicon(
                main,
                english=known[_ENGLISH],
                asked=_asked(language if language in known else _ENGLISH),
                thirds=[each for name, each in known.items() if name not in {language, _ENGLISH}],
                movements=self._movements.values(),
                divisions=self._divisions,
            )
        return self._lexicons[language]

    def movements_named(self, name: str, scene: Scene) -> tuple[str, ...]:
        """Give the ids of the movements a name can mean, today's first; none, one or several."""
        nearest_first = _todays(scene.days[scene.today], scene.division)
        words = WORD.findall(normalise(name).text)
        language = _languages().of(words, scene.language or self._language)
        return named_movements(words, self._lexicon(language), nearest_first)

    def task(self, scene: Scene, *, division: str | None, day: DayWord | None) -> Task | None:
        """Give the work a score is judged on, or None on a rest day."""
        number = day_number(day, scene)
        try:
            named = scene.days[scene.today if number is None else number]
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

    def _readers_of(self, task: Task) -> Sequence[ScoreReader]:
        """Give what reads a task's scores, put together once; the tasks are kept."""
        key = id(task)
        if key not in self._readers:
            self._readers[key] = _readers(task)
        return self._readers[key]

    def _scores(self, plain: Plain, tokens: Sequence[Token], scene: Scene) -> Reading | None:
        """Read a message as one score, or as several for several days."""
        if (both := either(tokens)) is not None and (
            asked := self._either(plain, both, scene)
        ) is not None:
            return asked
        parts = by_day(tokens)
        if len(parts) > 1:
            read = [self._score(plain, part, scene) for part in parts]
            told = [each for each in read if isinstance(each, ScoreRead | Ask)]
            if len(told) == 1:  # "missed yesterday, 3 + 45 today"
                return told[0]
            if len({each.said.day for each in told}) == len(told) > 1:
                unsure = [each for each in told if isinstance(each, Ask)]
                sure = tuple(each for each in told if isinstance(each, ScoreRead))
                if not unsure:
                    return replace(sure[0], also=sure[1:])
                if len(unsure) == 1:
                    return replace(unsure[0], also=sure)
        return self._score(plain, tokens, scene)

    def _either(self, plain: Plain, both: Sequence[Sequence[Token]], scene: Scene) -> Ask | None:
        """Ask which of two scores it was, if a message reads with the one and with the other."""
        read = [self._score(plain, tokens, scene) for tokens in both]
        told = [each for each in read if isinstance(each, ScoreRead | Ask)]
        choices = dict.fromkeys(score for each in told for score in _meant(each))
        if len(told) < len(read) or len(choices) < len(read):
            return None
        return Ask(Why.TWO_SCORES, tuple(choices)[:MOST_CHOICES], told[0].said)

    def _score(self, plain: Plain, tokens: Sequence[Token], scene: Scene) -> Reading | None:
        told = clauses(tokens)
        said = _said(tokens, scene, plain)
        task = self.task(scene, division=said.division, day=said.day)
        if task is None:
            return None
        found, withdrawn, theirs = self._found_in_all(told, task, plain)
        found = _likely(_with_rest(found, task))
        if changed := list(_found_changed(told, task, scene)):
            found, withdrawn = changed, True
        elif not found:
            found = list(_found_bare(told, task, scene, correction=said.correction))
        if not found:
            return None
        decided = weigh([each for _, each in found], correction=said.correction)
        if decided is None:
            return None
        clause, place = next((c, f) for c, f in found if f is decided.rests_on)
        first, last = clause.tokens[place.first], clause.tokens[place.last]
        said = Said(
            quote=plain.quote(first.start, last.end),
            division=said.division,
            day=said.day,
            correction=said.correction or place.is_correction or withdrawn,
            effort=said.effort,
            load_g=None if task.workout.score is ScoreKind.LOAD else said.load_g,
        )
        if decided.why is not None:
            if place.maybe_theirs and "?" in clause.code:
                return None  # "Tess lowest 21?"
            return Ask(decided.why, decided.scores, said)
        others = [each for each in told if each is not clause]
        goes_on = place.on_ladder and len(found) == 1 and any(map(_more_of_it, others))
        return _sure(decided.scores[0], said, clause, task, is_doubted=goes_on, theirs=theirs)

    def _found_in_all(
        self, told: Sequence[Clause], task: Task, plain: Plain
    ) -> tuple[list[tuple[Clause, Found]], bool, set[Score]]:
        """Give what the patterns of the task's kind of score find, clause by clause.

        Returns:
            What counts, whether the message takes something back beside it, and the scores of
            other people in it.
        """
        withdrawn = False
        everybodys: list[tuple[Clause, Found]] = []
        theirs: set[Score] = set()
        if task.workout.score is ScoreKind.LOWEST_ROUND and (
            numbered := MeasureReader(task).numbered(told)
        ):
            everybodys.append(numbered)
        has_cap = task.workout.cap_s is not None
        for clause, found, code in _found_by_clause(told, task, self._readers_of(task)):
            judged = [self._with_likelihood(each, clause, plain, task) for each in found]
            counted = counts(judged, clause, code, plain, has_cap=has_cap)
            withdrawn = withdrawn or counted.withdrawn
            everybodys.extend((clause, each) for each in counted.kept)
            theirs.update(score for each in counted.theirs for score in each.scores)
        own = [
            (clause, each)
            for clause, each in everybodys
            if not each.scores or not theirs.issuperset(each.scores)
        ]
        return own, withdrawn, theirs

    def _with_likelihood(self, found: Found, clause: Clause, plain: Plain, task: Task) -> Found:
        """Judge what was found by the words around it."""
        start, end = clause.tokens[found.first].start, clause.tokens[found.last].end
        likely = self._judge(around(plain, start, end, task.workout.score, found))
        return found if likely == 1 else replace(found, likely=likely)


def _meant(reading: ScoreRead | Ask) -> tuple[Score, ...]:
    return reading.choices if isinstance(reading, Ask) else (reading.score,)


def _sure(
    score: Score,
    said: Said,
    clause: Clause,
    task: Task,
    *,
    is_doubted: bool,
    theirs: Collection[Score],
) -> Reading | None:
    """Make the last tests of a score that its own words leave no doubt about."""
    if isinstance(score, RoundsAndReps) and score.total_reps == 0:
        return None  # a joke, or a way to say "not today"
    mark = next((token for token in clause.tokens if token.kind is Kind.QUESTION_MARK), None)
    if theirs:  # two people in one message
        return Ask(Why.TWO_SCORES, (score,), said)
    if not is_possible(score, task):
        return Ask(Why.TOO_FAST, (score,), said) if is_conceivable(score, task) else None
    if mark is not None and mark.end - mark.start > 1:
        return None  # "70 jumping jacks??" is astonishment
    return Ask(Why.UNSURE, (score,), said) if mark or is_doubted else ScoreRead(score, said)


# Likelihoods, from 0 to 1. What each holds back and costs: `python -m tests.bench fit`.
_NO_SCORE = 0.1  # below, it is chatter
_UNLIKELY = 0.2  # below, it is none where something likely stands beside it
_LIKELY = 0.6
_DOUBTED = 0.25  # below, it is asked about
# Of what only the words around make a score: above, it is asked about; above, it is one.
_LOOSE_ASKED, _LOOSE_SURE = 0.7, 0.9
_CARRIED = 0.7  # above, bare figures need no other word that carries them


def _likely(found: Sequence[tuple[Clause, Found]]) -> list[tuple[Clause, Found]]:
    """Drop what the words around make no score, and doubt what they make an unlikely one."""
    patterned = [(clause, each) for clause, each in found if not each.loose]
    surest = max((each.likely for _, each in patterned), default=0.0)
    kept = [
        (clause, _doubted(each, _DOUBTED))
        for clause, each in patterned
        if each.likely >= _NO_SCORE and (each.likely >= _UNLIKELY or surest < _LIKELY)
    ]
    if any(not each.weak for _, each in kept):
        return kept
    loose = [each for each in found if each[1].loose and each[1].likely >= _LOOSE_ASKED]
    return [*kept, *((clause, _doubted(each, _LOOSE_SURE)) for clause, each in loose)]


def _doubted(found: Found, limit: float) -> Found:
    """Ask about what is less likely than a limit; what is likely needs nothing else."""
    weak = found.weak and found.likely < _CARRIED
    why = Why.UNSURE if found.likely < limit and found.why is None else found.why
    return replace(found, why=why, weak=weak)


def _more_of_it(clause: Clause) -> bool:
    """Say whether a clause goes on with a place: "In the twelves: 12 presses, 3 climbers."."""
    return _MORE_OF_IT.search(clause.code) is not None


def day_number(day: DayWord | None, scene: Scene) -> int | None:
    """Give the number of the day a word names; without a word, the one that is on.

    None: on the date named there was no day.
    """
    if day is None:
        return scene.today
    if day.number is not None:
        return day.number
    if (named := date_named(day, scene)) is None:
        return scene.today + (day.offset or 0)
    return next((n for n, on in (scene.dates or {}).items() if on == named), None)


def date_named(day: DayWord, scene: Scene) -> date | None:
    """Give the local date that so many days from today is; None if the scene has no dates."""
    said_on = _said_on(scene)
    return None if said_on is None else said_on + timedelta(days=day.offset or 0)


def _said_on(scene: Scene) -> date | None:
    if scene.dates is None:
        return None
    return scene.dates[scene.today] if scene.said_on is None else scene.said_on


def _blank(match: re.Match[str]) -> str:
    return " " * len(match.group())


def _is_done_enough(scene: Scene) -> bool:
    """Say whether "done" may be a score: today, or on a day that is made up today."""
    for number in range(scene.today, scene.today - 3, -1):
        try:
            day = scene.days[number]
        except KeyError:
            continue
        if isinstance(day, WorkoutDay) and day.workout.score is ScoreKind.DONE:
            return True
    return False


def _todays(day: WorkoutDay | RestDay, division: str) -> Sequence[Sequence[str]]:
    """Give the movements of a day: the asker's division, the others, the warm-up."""
    if isinstance(day, RestDay):
        return ()
    own: list[str] = []
    others: list[str] = []
    for name, ladder in day.workout.divisions.items():
        (own if name == division else others).extend(rung.movement for rung in ladder.rungs)
    return own, others, day.warm_up.movements


_MOST_EFFORT = 10


def _said(tokens: Sequence[Token], scene: Scene, plain: Plain) -> Said:
    """Gather what stands beside a score: division, day, correction, effort, load used."""
    division, day, effort, load, correction = None, None, None, None, False
    for place, token in enumerate(tokens):
        behind = "".join(t.kind for t in tokens[place + 1 : place + 3])
        measured = behind in _LOADS  # "bodyweight 82.4 kg"
        beside = behind[:1] + (tokens[place - 1].kind if place else "")
        if token.kind is Kind.DIVISION and division is None and not measured:
            if token.everyday and "W" in beside:
                continue  # "light drizzle"
            division = str(token.value)
        elif token.kind in _DAYS and is_in_passing(tokens, place, plain):
            continue
        elif token.kind is Kind.DAY and day is None and isinstance(token.value, int):
            day = DayWord(offset=-1) if token.value < 0 else DayWord(number=token.value)
        elif token.kind is Kind.WEEKDAY and day is None and isinstance(token.value, int):
            day = _weekday(token.value, scene)
        elif token.kind is Kind.EFFORT and isinstance(token.value, int):
            effort = token.value if token.value <= _MOST_EFFORT else effort
        elif token.kind in {Kind.CORRECTION, Kind.WRONG}:
            correction = True
        elif token.kind in _WEIGHTS and load is None and place:
            load = load_g(tokens[place - 1], pounds=token.kind is Kind.POUND)
    return Said("", division, day, correction, effort, load)


_DAYS = {Kind.DAY, Kind.WEEKDAY}
_WEIGHTS = {Kind.KILOGRAM, Kind.POUND}
_LOADS = {"Nk", "Dk", "Nl", "Dl"}
_WEEK = 7


def _weekday(weekday: int, scene: Scene) -> DayWord | None:
    """Give the latest day up to now that fell on a weekday; None if that is today or none."""
    said_on = _said_on(scene)
    if said_on is None or not scene.dates:
        return None
    back = (said_on.isoweekday() - weekday) % _WEEK
    day = DayWord(offset=-back)
    if not back or said_on - timedelta(days=back) < min(scene.dates.values()):
        return None
    number = day_number(day, scene)
    return day if number is None else DayWord(number=number)


def _found_by_clause(
    told: Sequence[Clause], task: Task, readers: Sequence[ScoreReader]
) -> Iterator[tuple[Clause, Sequence[Found], str]]:
    """Give what the patterns find in each clause, and its code with that blanked out."""
    capped = any(_says_capped(clause, task.workout.cap_s) for clause in told)
    for clause in told:
        if not any(letter in clause.code for letter in "NDCOHIKXdfmj"):
            continue
        # What was best of several says nothing about the lowest; "4 degrees" is no count.
        code = _NOT_A_COUNT.sub("__", clause.code)
        found: list[Found] = []
        for reader in readers:
            read = (
                reader.read(clause, code, capped=capped)
                if isinstance(reader, LadderReader)
                else reader.read(clause, code)
            )
            for each, spans in read:
                found.append(each)
                code = blanked(code, spans)
        yield clause, found[:_MOST_FOUND], code


_MINUTES = re.compile("N[mU]")


def _says_capped(clause: Clause, cap_s: int | None) -> bool:
    """Say whether a clause tells that the clock ran out, in words or by its time."""
    if "K" in clause.code or "X" in clause.code:
        return True
    if cap_s is None:
        return False
    minutes = (clause.tokens[found.start()].value for found in _MINUTES.finditer(clause.code))
    clocks = (token.value for token in clause.tokens if token.kind is Kind.CLOCK)
    return cap_s // 60 in minutes or cap_s in clocks


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
    """Read a message that is one bare number."""
    if len(told) != 1 or not (match := _BARE.fullmatch(told[0].code)):
        return
    clause, place = told[0], match.start("x")
    token = clause.tokens[place]
    if task.steps is not None and task.workout.score is ScoreKind.ROUNDS_AND_REPS:
        scores = list(_bare_on_ladder(token, task, scene.previous if correction else None))
        why: Why | None = Why.BARE_NUMBER
    else:
        scores_found, why = MeasureReader(task).bare(token)
        scores = list(scores_found)
        if why is Why.WHICH_UNIT and len(scores) == 1:
            why = None
    if scores:
        why = why or (Why.UNSURE if "v" in clause.code else None)
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


def _found_changed(
    told: Sequence[Clause], task: Task, scene: Scene
) -> Iterator[tuple[Clause, Found]]:
    """Read the change of one number of what is on record: "54 not 45", "5 rounds, not 4"."""
    for clause in told:
        if scene.previous is None or (swap := _SWAP.search(clause.code)) is None:
            continue
        groups = ("new", "old") if swap["new"] else ("new2", "old2")
        new, old = (clause.tokens[swap.start(group)].value for group in groups)
        rounds = bool(swap["round"])
        if isinstance(new, int) and isinstance(old, int):
            changed = _changed(scene.previous, new, old, task, rounds=rounds)
            if changed is not None:
                score, why = changed
                yield clause, Found(swap.start(), swap.end() - 1, (score,), why)
                return


def _changed(
    previous: Score, new: int, old: int, task: Task, *, rounds: bool
) -> tuple[Score, Why | None] | None:
    """Put a new number in the place of an old one; None if that one is not on record."""
    if isinstance(previous, Amount) and previous.amount == old and not rounds:
        return replace(previous, amount=new, total_reps=None), None
    if not isinstance(previous, RoundsAndReps) or task.steps is None:
        return None
    ladder = LadderReader(task)
    if rounds:
        if old != previous.rounds:
            return None
        score = ladder.score(task.steps.through(new) + previous.reps)
        fits = isinstance(score, RoundsAndReps) and score.rounds == new
    elif old == previous.reps:
        score = ladder.score(previous.total_reps - previous.reps + new)
        fits = isinstance(score, RoundsAndReps) and score.rounds == previous.rounds
    elif old == previous.total_reps:
        score, fits = ladder.score(new), True
    else:
        return None
    return score, None if fits else Why.EXTRA_REPS_EXCEED_ROUND
