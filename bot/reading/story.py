"""What a clause tells of a place on a ladder, gathered from facts of a few tokens each.

Facts are whole rounds, a round by its number, a movement with a count, repetitions, a total, what
is left. Those that stand together make one story; ladder_scores.py turns it into a place.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction

from bot.reading.clauses import Clause
from bot.reading.rungs import Rungs

_MOST_FACTS = 60  # in one clause; bounds the work on hostile text

# A number that measures something else does not count repetitions: 45 kg, 45 min, 45 / 60.
_COUNT = "(?<!&)N(?![klmtqjchxUrSR']|/N)"
_FACTS = {
    "either": "(?P<e1>N)[|](?P<e2>N)[FJ]?R",
    "some_of": "(?P<so_x>N)[o/]J?(?P<so_of>N)[FJ]?(?P<so_m>M)",
    "of_work": "(?P<ow_x>N)P?[/o](?P<ow_of>N)P?(?![klmch])",
    "at_cap": "(?P<ac>N)P?[,@iWa-]{0,3}K",
    "left": (
        f"(?P<l1>N)o?(?P<l1_m>[PM]?)W?e(?:@(?=O?R))?(?!,?N(?!F?R))|e[W%]?(?P<l2>{_COUNT})(?P<l2_m>[PM]?)"
        "|f@(?P<l3>N)(?P<l3_m>[PM])"
    ),
    "short": "(?P<sh>N)[PM]?W?s|[PM]s",
    "half": "(?P<h1>N)[FJ]?R[a+,]*(?P<hh>H)R?|(?P<h2>D)[FJ]?R",
    "labelled": (
        "R[fdF]?(?:[:-](?P<la_n>N)(?:[,.+]*P[W@]{0,2}[:-]?(?P<la_x>N))?"
        "|(?P<la_n2>N)[,.+]*P[:-]?(?P<la_x2>N))"
    ),
    "vague_rounds": "(?P<vr>N)[aW]{0,2}v[FW]?R",
    "times": "(?P<t_n>N)x(?P<t_size>N)",
    "rounds": "(?P<r_at>@?)(?<!x)(?P<r>N)[FJfW]?R(?!o[FJ]?N[FJ]?M)[FJ]?",
    "pair": (
        f"(?<![CDR/-])(?P<p_n>N)[+]+a?(?P<p_x>{_COUNT})P?(?!M)"
        "|(?:^|(?<=[dyVZ:,#pW]))(?P<a_n>N)a(?P<a_x>N)(?=$|[,A])"
    ),
    "dashed": "^(?P<d_n>N)-(?P<d_x>N)$",
    "into": "(?P<in_x>N)i(?=N['c]|RN|OR?)",
    "halfway": "H(?=[^N,]{0,5}M)",
    "occurrence": (
        "[io]{0,2}(?P<oc>O)(?:[RW]?o(?:(?P<oc_of>N)['c]?|(?P<oc_m>M))|(?P<oc_of2>N)(?:['c]|(?![RPM])))"
        "|%[RW]?o?(?P<oc_last>M)"
    ),
    "scheme": (
        "(?P<s_last>%?)F?R?o?(?P<s1>N)['c]o?R?|Ro(?P<s2>N)"
        "|(?<=[fg])o?(?P<s3>N)(?![RPMNkltqjhmU:/x]|[oi]{1,2}[FJ]?M)|[io](?P<s4>N)(?![RPMNkltqjhmU/xc'])"
        "|(?P<s6>N)F(?!R)"
        "|(?P<s5_last>%)(?P<s5>N)(?![RPMNkltqjhmU/x])"
    ),
    "numbered": (
        "(?P<in1>[io@]{0,2})(?:R[&:]?(?P<n1>N)|(?P<n2>O)F?R|R(?P<n3>O))"
        "|(?P<in2>[io])[io]?(?P<n4>O)(?!W?oR)|[io]?(?P<last>%)R|[io]&(?P<n5>N)"
    ),
    "total": f"T[:o,@dy]*(?P<to1>{_COUNT})P?|(?P<to2>N)P?[,:o]?T|:(?P<to3>{_COUNT})P?(?=[,]|$)",
    "less": "<(?P<le_n>N?)J?(?P<le_m>[PM]?)|(?<=['cR])@(?P<le_n2>N)[PM]",
    "item": (
        "[+a]*(?:[FJ]o?(?P<i1_n>N?)(?P<i1>M)|(?P<i2_n>N)[oiF]?[FJ]?(?P<i2>M)"
        "|(?P<i3>M)&(?P<i3_n>N)|(?P<i5>M)(?P<i5_n>N)(?=$|[,A])|(?P<none>n)?(?P<i4>M))"
    ),
    "reps": "(?P<re_n>n)?[+]*F?(?P<re>N)W?P",
    "extra": f"[+]a?F?(?P<ex>{_COUNT})(?![oFJ]?M)",
    "loose": _COUNT,
    "marker": "[fgdeKX]",
    "unsure": "[v|s]",
    "break": "[pwub!]",
}
_FACT = re.compile("|".join(f"(?P<{name}>{pattern})" for name, pattern in _FACTS.items()))
_ON_A_LENGTH = re.compile("iN-?[tcmqWO]$")  # "on the 20-metre carry" is not done with it
# "the push-ups, the squats and 3 rows": those before a count are done.
_TO_A_COUNT = re.compile("[,a+]{1,2}(?:M[,a+]{1,2}){0,3}N[oiF]?M")
_JOINTS = re.compile("[a+,:fd-]*")  # may stand between whole rounds and a bare rest


@dataclass(slots=True)
class Item:
    """A movement named, with its count; `whole` when all of it was done, `of` the count told."""

    name: object
    count: int | None
    whole: bool = False
    of: int | None = None
    half: bool = False
    nth: int | None = None  # the third lot of push-ups in a round


@dataclass(slots=True)
class Story:
    """Facts that stand together, in the terms of the ladder."""

    first: int
    last: int
    rounds: int | None = None
    part: Fraction | None = None  # of a round
    number: int | None = None  # a round by its number
    through: bool = False  # that round was finished
    after: bool = False  # what is told came after it
    schemes: list[tuple[int, str, int | None]] = field(default_factory=list)
    items: list[Item] = field(default_factory=list)
    extra: list[int] = field(default_factory=list)
    totals: list[int] = field(default_factory=list)
    less: int | None = None
    less_name: object = None
    left: int | None = None
    left_name: object = None
    loose: list[int] = field(default_factory=list)
    finished: bool = False
    reached: bool = False
    capped: bool = False
    unsure: bool = False
    plus_number: bool = False  # "round 3 + 45"
    spans: list[tuple[int, int]] = field(default_factory=list)

    @property
    def names_a_round(self) -> bool:
        """Whether whole rounds, or a round by number or count, were told."""
        return self.rounds is not None or self.number is not None or bool(self.schemes)

    @property
    def is_bare_number(self) -> bool:
        """Whether a round's number is all that was told."""
        told = self.items or self.extra or self.schemes or self.totals
        return self.number is not None and self.rounds is None and not told and not self.after

    @property
    def is_in_a_round(self) -> bool:
        """Whether a round was named that what follows stands in."""
        return self.number is not None or bool(self.schemes)

    @property
    def is_short(self) -> bool:
        """Whether something is taken off: "minus a burpee"."""
        return self.less is not None or self.less_name is not None

    @property
    def tells_more(self) -> bool:
        """Whether anything stands beside the round that a scheme's count names."""
        beside = (self.items, self.extra, self.less is not None, self.left is not None)
        return self.capped or any(beside)

    @property
    def is_open(self) -> bool:
        """Whether nothing but markers was told yet."""
        return not self.spans


def stories(clause: Clause, code: str, rungs: Rungs) -> Iterator[Story]:
    """Give the stories of a clause; `code` has blanks where something was read before."""
    teller = _Teller(clause, code, rungs)
    for count, match in enumerate(_FACT.finditer(code)):
        if count == _MOST_FACTS:
            break
        if (told := teller.take(match)) is not None:
            yield told
    if (told := teller.end()) is not None:
        yield told


class _Teller:
    """Gathers facts into stories, from left to right."""

    def __init__(self, clause: Clause, code: str, rungs: Rungs) -> None:
        self._tokens, self._code, self._rungs = clause.tokens, code, rungs
        self._story: Story | None = None
        self._verb = ""
        self._is_half = False  # "halfway through the lunges"

    def take(self, match: re.Match[str]) -> Story | None:
        """Take one fact in; give the story that ends before it, if one does."""
        kind = match.lastgroup or ""
        if kind == "break":
            self._verb = ""
            return self.end()
        if kind == "marker":
            self._mark(match)
            return None
        opens = kind in _OPENERS and self._story is not None and self._has_opened(kind)
        told = self.end() if opens else None
        story = self._story or Story(match.start(), match.end() - 1)
        if kind == "unsure":
            idle = match.group() == "s" and story.left is not None  # "3 missing to finish"
            if not story.is_open and match.start() - story.last <= _NEAR and not idle:
                story.unsure = True
            return told
        known = _known(story)
        getattr(self, f"_{kind}")(story, match)
        if _known(story) != known:
            story.spans.append((match.start(), match.end()))
            story.last = match.end() - 1
            self._story = story
        if kind not in {"loose", "reps"}:
            self._verb = ""
        return told

    def end(self) -> Story | None:
        """Give the story told so far."""
        story, self._story = self._story, None
        return story

    def _mark(self, match: re.Match[str]) -> None:
        letter = self._verb = match.group()
        if letter in "KX":
            if self._story is None:
                place = self._code.index(letter)
                self._story = Story(place, place)
            self._story.capped = True
        elif letter == "e" and self._story is not None and self._story.rounds is not None:
            told = self._story.totals or self._story.extra
            if told:  # "a rep to 5 rounds is missing"
                self._story.less = told.pop()
        elif letter == "e" and self._story is not None and len(self._story.items) > 1:
            self._story.unsure = True
        elif letter == "e" and self._story is not None and self._story.items:
            if self._story.items[-1].count is not None:
                item = self._story.items.pop()  # "the two burpees of the third were missing"
                self._story.left, self._story.left_name = item.count, item.name
        elif letter in "fd" and self._story is not None and self._story.items:
            if self._story.reached:
                return  # "bis zu den Kniebeugen gekommen": not all of them
            self._story.items[-1].whole = self._story.items[-1].count is None
        elif letter in "fd" and self._story is not None and self._story.is_bare_number:
            behind = match.start() <= self._story.last + _NEAR and match.string[match.end() :]
            if behind == "" or (behind and behind[0] in ",+a.F"):  # "Runde 3 fertig"
                self._story.through, self._verb = True, ""
        elif letter in "fd" and self._story is not None and self._story.schemes:
            count, verb, occurrence = self._story.schemes[-1]
            if verb in {"", "f"} and match.start() <= self._story.last + _NEAR:
                self._story.schemes[-1] = (count, "f", occurrence)  # "the 16s are done"
                self._verb = ""

    def _has_opened(self, kind: str) -> bool:
        story = self._story
        if story is None:
            return False
        if kind == "numbered":
            return story.number is not None and not story.through and story.rounds is None
        if kind == "scheme":
            return False
        if kind == "rounds" and story.rounds is None and story.part is None:
            return False  # "225 reps = 3 rounds + 45", "19 reps after three rounds"
        return story.rounds is not None or story.part is not None or bool(story.totals)

    def _number(self, match: re.Match[str], *groups: str) -> int | None:
        for group in groups:
            if match[group]:
                value = self._tokens[match.start(group)].value
                return value if isinstance(value, int) else None
        return None

    def _name(self, match: re.Match[str], group: str) -> object:
        return self._tokens[match.start(group)].value

    # One method per kind of fact.

    def _either(self, story: Story, match: re.Match[str]) -> None:
        story.rounds = self._number(match, "e2")
        story.unsure = True

    def _some_of(self, story: Story, match: re.Match[str]) -> None:
        name = self._name(match, "so_m")
        of = self._number(match, "so_of")
        story.items.append(Item(name, self._number(match, "so_x"), of=of))

    def _of_work(self, story: Story, match: re.Match[str]) -> None:
        whole = self._number(match, "ow_of") or 0
        done = self._number(match, "ow_x") or 0
        last = story.items[-1] if story.items else None
        if last is not None and last.count is None and self._rungs.is_count_of(last.name, whole):
            # "to the deadlifts of the last round, 11 of the 15 done"
            last.count, last.of, last.whole = done, whole, False
        elif self._rungs.holds(whole):
            story.totals.append(done)
        elif self._rungs.round_size() == whole and story.rounds is not None:
            story.extra.append(done)
        elif story.rounds is not None:
            story.unsure = True

    def _at_cap(self, story: Story, match: re.Match[str]) -> None:
        story.loose.append(self._number(match, "ac") or 0)
        story.capped = True

    def _left(self, story: Story, match: re.Match[str]) -> None:
        story.left = self._number(match, "l1", "l2", "l3")
        group = next(f"{group}_m" for group in ("l1", "l2", "l3") if match[group])
        if match[group] == "M":
            story.left_name = self._name(match, group)

    def _short(self, story: Story, match: re.Match[str]) -> None:
        story.less = self._number(match, "sh") if match["sh"] else 1

    def _half(self, story: Story, match: re.Match[str]) -> None:
        if match["h2"]:
            value = self._tokens[match.start("h2")].value
            story.part = value if isinstance(value, Fraction) else None
        else:
            story.part = (self._number(match, "h1") or 0) + Fraction(1, 2)

    def _labelled(self, story: Story, match: re.Match[str]) -> None:
        story.rounds = self._number(match, "la_n", "la_n2")
        if match["la_x"] or match["la_x2"]:
            story.extra.append(self._number(match, "la_x", "la_x2") or 0)

    def _vague_rounds(self, story: Story, match: re.Match[str]) -> None:
        story.rounds, story.unsure = self._number(match, "vr"), True

    def _times(self, story: Story, match: re.Match[str]) -> None:
        if self._number(match, "t_size") == self._rungs.round_size():
            story.rounds = self._number(match, "t_n")

    def _rounds(self, story: Story, match: re.Match[str]) -> None:
        story.rounds = self._number(match, "r")
        if match["r_at"] and story.totals and not story.extra:  # "19 reps after three rounds"
            story.extra.append(story.totals.pop())
        if story.left is not None and story.less is None:  # "2 reps missing for 4 rounds"
            story.less, story.left = story.left, None

    def _pair(self, story: Story, match: re.Match[str]) -> None:
        rounds, extra = self._number(match, "p_n", "a_n"), self._number(match, "p_x", "a_x")
        if story.schemes or story.items or story.number is not None:
            story.unsure = True
        story.rounds = rounds
        story.extra.append(extra or 0)

    def _dashed(self, story: Story, match: re.Match[str]) -> None:
        story.rounds, story.unsure = self._number(match, "d_n"), True
        story.extra.append(self._number(match, "d_x") or 0)

    def _into(self, story: Story, match: re.Match[str]) -> None:
        story.extra.append(self._number(match, "in_x") or 0)

    def _halfway(self, _story: Story, _match: re.Match[str]) -> None:
        self._is_half = True  # the movement comes

    def _occurrence(self, story: Story, match: re.Match[str]) -> None:
        if match["oc_m"] or match["oc_last"]:
            name = self._name(match, "oc_m" if match["oc_m"] else "oc_last")
            nth = self._number(match, "oc") if match["oc_m"] else -1
            in_round = story.number is not None or self._rungs.times_in_round(name) > 1
            if not in_round:
                story.number = nth if match["oc_m"] else self._rungs.rounds
            story.items.append(Item(name, None, nth=nth if in_round else None))
            story.reached = True
            return
        count = self._number(match, "oc_of", "oc_of2") or 0
        if self._rungs.is_scheme(count):
            verb = "f" if self._verb == "f" else "i"
            story.schemes.append((count, verb, self._number(match, "oc")))

    def _scheme(self, story: Story, match: re.Match[str]) -> None:
        count = self._number(match, "s1", "s2", "s3", "s4", "s5", "s6") or 0
        before = self._code[max(0, match.start() - 2) : match.start()]
        told = (
            story.items or story.left_name is not None or not _SCHEME_TOLD.isdisjoint(self._code)
        )
        if match["s4"] and not told:
            return  # "out of 24"
        if not self._rungs.is_scheme(count):
            if match["s3"] and self._verb == "g":
                self._loose(story, match)
            return
        verb = self._verb or ("i" if before[-1:] in _INSIDE or match.group()[0] in _INSIDE else "")
        if self._code[match.end() : match.end() + 1] == "F" or match["s6"] or "F" in match[0]:
            verb = "f"  # "hasta la de 14 completa"
        verb = {"d": "f", "K": "g", "X": "g"}.get(verb, verb)
        story.schemes.append((count, verb, -1 if match["s_last"] or match["s5_last"] else None))

    def _numbered(self, story: Story, match: re.Match[str]) -> None:
        number = self._number(match, "n1", "n2", "n3", "n4", "n5")
        if match["last"]:
            number = self._rungs.rounds
        named = match["n4"] and self._code[match.end() : match.end() + 1] == "M"
        if number is None or (named and story.rounds is None):
            return  # "the second lunges"; but "four rounds, of the fifth the lunges"
        before = self._code[max(0, match.start() - 2) : match.start()]
        done = self._verb == "f" or before[-1:] in {"F", "J", "f"} or before in {"Jo", "Fo", "fo"}
        if story.through:
            if number != (story.number or 0) + 1:
                story.unsure = True
            return
        if story.number is not None and story.number != number:
            story.unsure = True
            return
        story.number = number
        story.after = "@" in (match["in1"] or "")
        if story.totals and not story.extra:  # "38 reps into my fourth round"
            story.extra.append(story.totals.pop())
        story.through = done and not story.items and story.rounds is None
        story.plus_number = self._code[match.end() : match.end() + 1] == "+"

    def _total(self, story: Story, match: re.Match[str]) -> None:
        number = self._number(match, "to1", "to2", "to3")
        if match["to3"] and story.is_open and not match.group().endswith("P"):
            story.loose.append(number or 0)
        else:
            story.totals.append(number or 0)

    def _less(self, story: Story, match: re.Match[str]) -> None:
        if match["le_n"] or match["le_n2"]:
            story.less = self._number(match, "le_n", "le_n2")
        elif match["le_m"] == "M":
            story.less_name = self._name(match, "le_m")
        elif not story.is_open:
            story.unsure = True

    def _item(self, story: Story, match: re.Match[str]) -> None:
        group = next(group for group in ("i1", "i2", "i3", "i5", "i4") if match[group])
        name = self._name(match, group)
        if _NONE_OF.search(self._code[: match.start()]):
            return  # "no time for the 2 burpees"
        if not self._rungs.is_on_ladder(name) or match["none"]:
            if not story.is_open and group != "i4" and not match["none"]:
                story.unsure = True
            return
        if group == "i4" and _NOT_A_PLACE.match(self._code, match.end()):
            return
        half, self._is_half = self._is_half, False
        if group == "i4" and not (self._is_told(match) or story.is_in_a_round or half):
            if not story.is_open and _ONE_OF.search(self._code[: match.start()]):
                story.unsure = True  # "and a single solitary lunge"
            return
        count = self._number(match, f"{group}_n") if group != "i4" else None
        if not story.is_open and self._is_beside_the_place(match, name):
            story.unsure = True
        if count is not None and self._rungs.is_all_of(name, count, story.rounds):
            return  # "4 rounds, 80 lunges": twenty in each
        whole = group == "i1" or (count is None and self._verb == "f")
        on_it = _ON_A_LENGTH.search(self._code[: match.start()])
        if self._verb == "g" or on_it:
            story.reached = True
        story.items.append(Item(name, count, whole=whole, half=half))

    def _is_beside_the_place(self, match: re.Match[str], name: object) -> bool:
        """Say whether a movement is told in a way that gives no count of it.

        "missed it by one climber"; "on my 14th lunge", where "the second push-ups" are a rung.
        """
        before = self._code[: match.start()]
        if not before.endswith("O"):
            return before.endswith("@")
        nth = self._tokens[match.start() - 1].value
        return isinstance(nth, int) and nth > self._rungs.times_in_round(name)

    def _is_told(self, match: re.Match[str]) -> bool:
        """Say whether a movement without a count is a place, and no mere mention."""
        if self._rungs.rounds == 1 and self._code[: match.start()].endswith("i"):
            return True  # "stuck in the burpees" of one long list
        joined = match.group()[0] in "+a" or self._code[match.end() : match.end() + 1] in {
            "f",
            "d",
            "J",
        }
        return bool(
            joined
            or self._verb in {"f", "g", "K", "X"}
            or "K" in self._code[: match.start()][-_NEAR:]
            or _TO_A_COUNT.match(self._code, match.end())
        )

    def _reps(self, story: Story, match: re.Match[str]) -> None:
        number = self._number(match, "re") or 0
        if match["re_n"]:  # "not one repetition more"
            story.spans.append(match.span())
            return
        last = story.items[-1] if story.items else None
        if last is not None and last.count is None and not last.whole and self._verb == "d":
            last.count = number
        elif not story.names_a_round or (story.extra and number not in story.extra):
            story.totals.append(number)
        elif not story.extra:
            story.extra.append(number)

    def _extra(self, story: Story, match: re.Match[str]) -> None:
        number = self._number(match, "ex") or 0
        if story.is_open:
            if story.capped:
                story.loose.append(number)
        elif story.extra and self._rungs.is_scheme(number):
            return
        else:
            story.extra.append(number)

    def _loose(self, story: Story, match: re.Match[str]) -> None:
        """Take a bare number for the rest of the rounds before it, or for a movement's count."""
        at = match.end() - 1
        number = self._tokens[at].value
        if not isinstance(number, int):
            return
        last = story.items[-1] if story.items else None
        gap = self._code[story.spans[-1][1] : match.start()] if story.spans else ""
        near = _JOINTS.fullmatch(gap) is not None
        ends = self._code[match.end() : match.end() + 1] in _ENDS
        joined = "a" in gap or "+" in gap  # "the lunges and 7 of something"
        is_open = last is not None and last.count is None and not last.whole and not joined
        if last is not None and is_open and self._verb in _COUNTING:
            last.count = number
        elif story.capped and story.is_open:
            story.loose.append(number)
        elif story.names_a_round and near and ends and not story.extra and not story.items:
            story.extra.append(number)


_SCHEME_TOLD = frozenset("KRg")
_COUNTING = {"", "d", "g"}  # behind these a bare number is the count of the movement named
_INSIDE = {"i", "o", "@"}  # of the tens, in the tens, from the tens
_NEAR = 2  # tokens between a place and a word that makes it vague
_NONE_OF = re.compile("n[Wd@]{1,3}$")
# Behind a movement: it was not reached, or its seconds and metres are told, as we print them.
_NOT_A_PLACE = re.compile("n|,[tcO]N")
_ONE_OF = re.compile("[+a]W{1,3}$")
_OPENERS = {
    *("either", "half", "labelled", "vague_rounds", "times", "rounds", "pair", "dashed"),
    *("numbered", "scheme"),
}
_ENDS = {
    "",
    "n",
    ",",
    ":",
    "V",
    "y",
    "Y",
    "E",
    "Z",
    "A",
    "u",
    "d",
    ".",
    "?",
    "W",
    "@",
    "K",
    "T",
    "e",
    "1",
}


def _known(story: Story) -> tuple[object, ...]:
    """Give what a story knows, to see whether a fact told it anything."""
    return (
        story.rounds,
        story.part,
        story.number,
        len(story.schemes),
        len(story.items),
        [item.count for item in story.items],
        len(story.extra),
        len(story.totals),
        len(story.loose),
        story.less,
        story.less_name,
        story.left,
        story.unsure,
    )
