"""Scores on a ladder: rounds and repetitions, places by movement, totals, what the cap left.

What a clause tells (story.py) becomes a place on the ladder. Everything told must agree with it;
what does not is asked.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from functools import partial

from bot.reading.clauses import Clause
from bot.reading.found import Found
from bot.reading.rungs import FAR, Rungs
from bot.reading.story import Item, Story, stories
from bot.reading.values import Why
from content import ladder as arithmetic
from content.score import Capped, RoundsAndReps, Score, ScoreKind
from content.task import Task

# Totals that a story can mean, and why they are not sure, if they are not.
Totals = tuple[Sequence[int], Why | None]
_NOTHING: Totals = ((), None)


class LadderReader:
    """Reads one task's ladder.

    Raises:
        ValueError: The task has none (shape open).
    """

    def __init__(self, task: Task) -> None:
        self._task = task
        self._rungs = Rungs(task)
        self._steps = self._rungs.steps
        self._is_timed = task.workout.score is ScoreKind.TIME

    def read(
        self, clause: Clause, code: str, *, capped: bool = False
    ) -> Iterator[tuple[Found, Sequence[tuple[int, int]]]]:
        """Give what the facts of a clause tell, with the stretches of tokens it rests on.

        `code` has blanks where something was read before; `capped`: the message says that the
        clock ran out.
        """
        for story in stories(clause, code, self._rungs):
            story.capped = story.capped or capped
            totals, why = self._totals(story)
            scores = tuple(dict.fromkeys(self.score(total) for total in totals))
            if not scores and why is None:
                continue
            if why is None and len(scores) > 1:
                why = Why.WHICH_RUNG
            if why is None and story.unsure:
                why = Why.UNSURE
            # Where the ladder ends, a place on it is a score only if the clock stopped there.
            if self._rungs.work is not None and not story.capped:
                if not story.totals:
                    continue
                why = why or Why.UNSURE
            placed = story.capped or story.number is not None
            yield (
                Found(
                    *(story.first, story.last, scores, why),
                    on_ladder=True,
                    placed=placed,
                    rest_only=self._is_rest(story),
                    is_whole=story.rounds is not None and not (story.items or story.extra),
                    by_movement=bool(story.items),
                    explains=partial(self._explained, scores[:1]),
                ),
                story.spans,
            )

    def score(self, total: int) -> Score:
        """Give the score that a total is on this ladder."""
        if self._is_timed:
            return Capped(total)
        rounds, reps = arithmetic.split(self._steps, total)
        return RoundsAndReps(rounds, reps, total)

    def _is_rest(self, story: Story) -> bool:
        bare = story.rounds is None and story.number is None and not story.schemes
        return bare and any(
            total < arithmetic.round_size(self._steps, 1) for total in story.totals
        )

    def _explained(self, scores: Sequence[Score]) -> frozenset[int]:
        """Give the numbers that belong to a place on this ladder, said or left out."""
        numbers: set[int] = set()
        for score in scores:
            total = score.total_reps if isinstance(score, RoundsAndReps | Capped) else 0
            rounds, reps = arithmetic.split(self._steps, total or 0)
            number = min(rounds + 1, self._steps.rounds or rounds + 1)
            counts = self._steps.counts(number)
            numbers |= {rounds, rounds + 1, reps, total or 0, self._steps.through(rounds)}
            numbers |= {*counts, sum(counts), sum(counts) - reps, *(rounds * n for n in counts)}
        clock_s = self._task.clock_s
        lengths = {rung.metres // 1000 for rung in self._task.rungs if rung.metres}
        return frozenset(numbers | lengths | ({clock_s // 60} if clock_s else set()))

    def _totals(self, story: Story) -> Totals:
        """Give the totals a story can mean."""
        found, why = self._place(story)
        if story.totals and found and why is None:
            whole = self._steps.through(story.rounds) if story.rounds is not None else None
            told = [t for t in story.totals if t != whole or whole in found]
            if any(total not in found for total in told):
                return [*found, *(t for t in told if self._rungs.fits(t))], Why.UNSURE
        return found, why

    def _place(self, story: Story) -> Totals:
        told = story.number is not None or story.schemes
        if self._rungs.work is None and story.left is not None and not told:
            return _NOTHING  # still going
        if story.part is not None:
            return self._part(story.part)
        if story.rounds is not None:
            return self._behind_rounds(story)
        if story.schemes:
            return self._in_scheme(story)
        if story.number is not None:
            return self._in_numbered(story)
        return self._on_the_whole(story)

    def _on_the_whole(self, story: Story) -> Totals:
        """Read what names no round: a total, what is left, a movement of the one round."""
        work = self._rungs.work
        if work is not None and story.capped and story.left is not None:
            return self._left_of_all(story)
        if work is not None and story.capped and story.less is not None:
            return self._checked(work - story.less)
        if story.totals:
            return self._checked(story.totals[0] - (story.less or 0))
        if story.loose and story.capped and not any(item.count for item in story.items):
            return self._at_the_cap(story.loose[0])
        if story.items and self._steps.rounds == 1:
            return self._in_round(1, story)
        return self._in_any_round(story) if story.items and story.capped else _NOTHING

    def _at_the_cap(self, number: int) -> Totals:
        """Read "capped 76": done or left? Nearly the whole ladder is what was done."""
        if self._rungs.work is None:
            return _NOTHING
        work = self._rungs.work
        if number == work or not 0 < number < work:
            return (), None if number == work else Why.MORE_THAN_THE_LADDER
        if 4 * number >= 3 * work:
            return (number,), None
        return (work - number, number), Why.CAP_BOTH_WAYS

    def _left_of_all(self, story: Story) -> Totals:
        """Read "capped, 14 left": of the whole ladder, if the movement beside it is the last."""
        left, work = story.left or 0, self._rungs.work or 0
        named = self._rungs.named(story.left_name)
        is_last = not named or named[-1] == len(self._rungs) - 1
        totals, why = self._checked(work - left)
        return totals, why if is_last or why is not None else Why.UNSURE

    def _checked(self, total: int) -> Totals:
        if total == self._rungs.work:
            return _NOTHING  # all of it: the time tells that
        return ((total,), None) if self._rungs.fits(total) else ((), Why.MORE_THAN_THE_LADDER)

    def _part(self, value: Fraction) -> Totals:
        """Read "3 rounds and a half"; what is no whole repetition is asked."""
        rounds = int(value)
        if not self._rungs.has_round(rounds + 1):
            return _NOTHING
        reps = (value - rounds) * arithmetic.round_size(self._steps, rounds + 1)
        near = [self._steps.through(rounds) + n for n in (int(reps), int(reps) + 1)]
        if value.denominator > 2:  # noqa: PLR2004 - "2.3 rounds", "2 3/4 rounds" is a guess
            return near, Why.UNSURE
        return (near[:1], None) if reps.denominator == 1 else (near, Why.HALF_A_ROUND)

    def _behind_rounds(self, story: Story) -> Totals:
        rounds = story.rounds or 0
        if not 0 <= rounds <= (self._steps.rounds or FAR):
            return _NOTHING
        if story.is_short:  # "5 rounds and all but ten push-ups of number 6"
            return self._short_of(max(rounds, story.number or 0), story)
        told = story.items or story.extra
        if story.number is not None and (
            story.number not in {rounds, rounds + 1} or (story.number == rounds + 1 and not told)
        ):
            return [self._steps.through(rounds)], Why.UNSURE
        if story.items:
            if story.extra:
                return self._items_and_extra(rounds, story)
            return self._in_round(rounds + 1, story)
        rest = story.extra
        if len(rest) > 1 and rest[0] == self._steps.through(rounds):
            rest = rest[1:]  # "6 rounds (126) + 31"
        if len(rest) > 1:
            return [t for x in (*rest, sum(rest)) for t in self._rounds(rounds, x)[0]], Why.UNSURE
        if rest and story.number == rounds:
            return self._rounds(rounds, rest[0])[0], Why.UNSURE
        return self._rounds(rounds, rest[0] if rest else 0)

    def _items_and_extra(self, rounds: int, story: Story) -> Totals:
        """Read "3 rounds + 45, all lunges and 5 rows": sure when both name one place."""
        places, why = self._in_round(rounds + 1, story)
        told = [t for x in story.extra for t in self._rounds(rounds, x)[0]]
        if why is None and set(places) == set(told):
            return places, None
        return list(dict.fromkeys([*told, *places])), Why.UNSURE

    def _short_of(self, rounds: int, story: Story) -> Totals:
        """Read "one rep short of 4 rounds", "two rounds minus the burpees"."""
        if story.rounds is not None and story.extra:  # "5 + 25, one short of the set of 8"
            return self._rounds(story.rounds, story.extra[0])[0], Why.UNSURE
        less = story.less
        if less is None:
            named = self._rungs.named(story.less_name)
            if len(named) != 1 or rounds < 1:
                return [self._steps.through(rounds)], Why.UNSURE
            less = self._steps.counts(rounds)[named[0]]
        total = self._steps.through(rounds) - less
        if rounds < 1 or total < self._steps.through(rounds - 1):
            return _NOTHING
        return (total,), None

    def _in_numbered(self, story: Story) -> Totals:
        """Read what names a round by number: "12 lunges into round 2", "finished round 3"."""
        number = story.number or 0
        if not self._rungs.has_round(number):
            return _NOTHING
        if story.plus_number and story.extra:
            both = [self._rounds(number - less, story.extra[0])[0] for less in (0, 1)]
            return [total for totals in both for total in totals], Why.UNSURE
        more = bool(story.items or story.extra)
        if story.after or (story.through and more):
            return self._beyond(number, story) if more else _NOTHING
        if story.through:
            return self._beyond(number, story)
        told = more or story.is_short or story.left is not None
        return self._inside(number, story) if told else _NOTHING

    def _left_in(self, number: int, left: int, name: object) -> Totals:
        """Read "in round 2, 3 step-ups to go"."""
        if not self._rungs.has_round(number):
            return _NOTHING
        counts = self._steps.counts(number)
        named = self._rungs.named(name)
        through = self._steps.through(number - 1)
        ends = [through + sum(counts[: rung + 1]) for rung in named] or [through + sum(counts)]
        return [end - left for end in ends if end - left >= through], None

    def _in_scheme(self, story: Story) -> Totals:
        """Read rounds named by their count: "finished the 14s", "4 into the 12s", "12s + 9"."""
        through, inside = 0, 0
        for count, verb, occurrence in story.schemes:
            every = self._rungs.with_count(count)
            rounds = [number for number in every if number > through]
            if occurrence is not None:
                rounds = list(every[-1:] if occurrence < 0 else every[occurrence - 1 : occurrence])
            if verb in {"", "i"} and not story.tells_more:  # "the 12s": begun, done or dreaded?
                if through:
                    continue
                return _NOTHING
            if not rounds:
                return _NOTHING
            if len(rounds) > 1 and not through:
                story.unsure = True
            if verb in {"i", "g", "e"} or (occurrence is not None and verb != "f"):
                inside = rounds[0]
            else:
                through, inside = rounds[0], 0
        return self._inside(inside, story) if inside else self._beyond(through, story)

    def _inside(self, number: int, story: Story) -> Totals:
        """Place what is told in a round."""
        if story.items:
            return self._in_round(number, story)
        if story.extra:
            return self._rounds(number - 1, story.extra[0])
        if story.is_short:
            return self._short_of(number, story)
        if story.left is not None:
            return self._left_in(number, story.left, story.left_name)
        total = self._steps.through(number - 1)
        # Who got to the sixteens may have done some; on a clock that is the last word.
        sure = self._is_timed and story.schemes[-1][1] == "g"
        return ([total], None if sure else Why.UNSURE) if self._rungs.fits(total) else _NOTHING

    def _beyond(self, through: int, story: Story) -> Totals:
        """Place what is told behind rounds that are whole."""
        if story.items:
            return self._in_round(through + 1, story)
        if story.is_short:
            return self._short_of(through, story)
        if story.left is not None:
            return self._left_in(through, story.left, story.left_name)
        return self._rounds(through, story.extra[0] if story.extra else 0)

    def _rounds(self, rounds: int, extra: int) -> Totals:
        """Whole rounds and a rest; a rest that no round holds becomes a question."""
        if not 0 <= rounds <= (self._steps.rounds or FAR):
            return _NOTHING
        if extra <= arithmetic.extra_room(self._steps, rounds):
            return self._checked(self._steps.through(rounds) + extra)
        return self._too_many(rounds, extra), Why.EXTRA_REPS_EXCEED_ROUND

    def _too_many(self, rounds: int, extra: int) -> Sequence[int]:
        """Guess what was meant when the rest is more than a round: a total, a slip, a carry."""
        room = arithmetic.extra_room(self._steps, rounds)
        through = self._steps.through(rounds)
        guesses = []
        if extra >= through:
            guesses.append(extra)  # the total was told beside the rounds
        shorter = str(extra)[:-1]
        if shorter and 0 < int(shorter) <= room:
            guesses.append(through + int(shorter))  # a digit too many
        if extra <= 2 * (room + 1):
            guesses.append(through + extra)  # counted on past the round
        return [total for total in guesses if self._possible(total)]

    def _possible(self, total: int) -> bool:
        clock = self._task.clock_s
        return self._rungs.fits(total) and (clock is None or self._task.fastest_s(total) <= clock)

    def _in_any_round(self, story: Story) -> Totals:
        """Read "capped at the lunges": which round is not known, so we ask."""
        places: list[int] = []
        for number in range(1, min(self._steps.rounds or 1, 5) + 1):
            places.extend(self._in_round(number, story)[0])
        counted = any(item.count is not None for item in story.items)
        return places, (Why.WHICH_RUNG if counted else Why.REPS_AT_THE_CAP) if places else None

    def _in_round(self, number: int, story: Story) -> Totals:
        """Place the movements of a story in a round; the last one tells how far."""
        if not self._rungs.has_round(number):
            return _NOTHING
        counts = self._steps.counts(number)
        through = self._steps.through(number - 1)
        ways = list(self._ways(story.items, counts, story))
        if not ways:
            return self._adding_up(story.items, counts, through), Why.WHICH_RUNG
        least = min(skipped for skipped, _ in ways)
        places = {through + done for skipped, done in ways if skipped == least}
        is_first = story.rounds is not None and least == 0 and not story.reached
        if len(story.items) == 1 and not is_first:
            # Behind whole rounds the first of a movement's rungs is meant, else it may be any.
            places = {through + done for _, done in ways}
        if story.less is not None:
            places = {place - story.less for place in places if place - story.less >= through}
            if not places:
                return _NOTHING
        last = story.items[-1]
        if least and self._is_spread(last):  # "10 push-ups", of 6, 8 and 10 in a round
            return sorted(places), Why.WHICH_RUNG
        vague = story.reached and last.count is None and not last.whole
        return sorted(places), Why.UNSURE if vague else None

    def _is_spread(self, item: Item) -> bool:
        """Say whether a count may be that of several rungs of a movement together."""
        is_bare = item.count is not None and item.of is None and item.nth is None
        return is_bare and len(self._rungs.named(item.name)) > 1

    def _adding_up(
        self, items: Sequence[Item], counts: Sequence[int], through: int
    ) -> Sequence[int]:
        """Give where a list that fits no order may have meant: its last place, or its sum."""
        places = []
        for rung in self._rungs.named(items[-1].name):
            done = items[-1].count
            if done is not None and done <= counts[rung]:
                places.append(through + sum(counts[:rung]) + done)
        told = [item.count for item in items if item.count is not None]
        if len(told) == len(items) > 1 and sum(told) < sum(counts):
            places.append(through + sum(told))
        return list(dict.fromkeys(places))

    def _ways(
        self, items: Sequence[Item], counts: Sequence[int], story: Story
    ) -> Iterator[tuple[int, int]]:
        """Give each way to lay the movements on the rungs in order: (rungs left out, done)."""
        ways: list[tuple[int, int, int]] = [(0, 0, 0)]  # next rung, left out, done
        for place, item in enumerate(items):
            is_last = place == len(items) - 1
            onward = []
            for at, skipped, _ in ways:
                for rung in self._rungs.named(item.name)[_nth(item)]:
                    done = self._done(item, counts[rung], story, is_last=is_last)
                    if rung >= at and done is not None:
                        left_out = skipped + rung - at
                        onward.append((rung + 1, left_out, sum(counts[:rung]) + done))
            ways = onward
        for _, skipped, done in ways:
            yield skipped, done

    def _done(self, item: Item, count: int, story: Story, *, is_last: bool) -> int | None:
        """Give how many of a rung an item says are done, or None if it does not fit there."""
        if item.of is not None and item.of != count:
            return None
        if not is_last:
            return count if item.count in {None, count} else None
        if item.half:
            story.unsure = story.unsure or count % 2 == 1
            return count // 2
        if item.count is not None:
            return item.count if item.count <= count else None
        return 0 if story.reached and not item.whole else count


def _nth(item: Item) -> slice:
    """Give which of a movement's rungs are meant: all, the nth, or the last."""
    if item.nth is None:
        return slice(None)
    return slice(-1, None) if item.nth < 0 else slice(item.nth - 1, item.nth)


def blanked(code: str, spans: Iterable[tuple[int, int]]) -> str:
    """Blank out what was read, so that nothing reads it again."""
    for start, end in spans:
        code = f"{code[:start]}{'_' * (end - start)}{code[end:]}"
    return code
