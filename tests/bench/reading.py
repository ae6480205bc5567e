"""How well the corpus is read, with every miss of the open files, and how fast.

The lines of `aside-*.jsonl` are put aside: `python -m tests.bench aside` counts them and shows no
text. What their first count gave is the figure to quote; a second one is no longer clean.
"""

from __future__ import annotations

import time
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable

from lark import Lark

from bot.reading.reader import Scene
from tests.reading.corpus_check import (
    KINDS,
    Line,
    SameDay,
    aside_files,
    challenge,
    corpus,
    open_files,
    read_line,
    verdict,
)

CHATTER = "see you at the park tomorrow morning, bring water"
SCORE = "3 rounds + 45"
HOSTILE = ("3r", "1.", "cap ", "nine hundred and ", "12s + 9 ")

# What the score alone is in an equivalent grammar: the measure for our speed.
GRAMMAR = r"""
start: rounds (PLUS | AND)? extra?
rounds: NUMBER ("rounds" | "round" | "rds" | "r")
extra: NUMBER ("reps" | "rep")?
PLUS: "+"
AND: "and"
NUMBER: /[0-9]+/
%import common.WS
%ignore WS
"""


def run() -> None:
    """Print the figures of the open files."""
    _judge(open_files(), show=True)
    _speed()


def run_aside() -> None:
    """Count the files put aside."""
    _judge(aside_files(), show=False)


def _judge(names: Iterable[str], *, show: bool) -> None:
    verdicts: dict[tuple[str, str], Counter[str]] = defaultdict(Counter)
    confused: dict[str, Counter[tuple[str, str]]] = defaultdict(Counter)
    for line in corpus(*names):
        got = read_line(line)
        judged = verdict(line.expect, got)
        for group in (line.file, f"all {line.language}", "all"):
            verdicts[group, line.expect["kind"]][judged] += 1
        confused[line.language][line.expect["kind"], got["kind"]] += 1
        if show and judged != "right":
            print(f"{line.file}:{line.number}: {judged}: {line.text!r}\n    {got}")
    for group in dict.fromkeys(group for group, _ in verdicts):
        print(f"\n{group}")
        for kind in KINDS:
            _row(kind, verdicts.get((group, kind), Counter()))
    for language, counted in sorted(confused.items()):
        _table(language, counted)


def _row(kind: str, counted: Counter[str]) -> None:
    if counted:
        rest = ", ".join(f"{n} {what}" for what, n in counted.most_common() if what != "right")
        share = counted["right"] / counted.total()
        print(f"  {kind:9} {counted.total():4}  right {share:6.1%}  {rest}")


def _table(language: str, counted: Counter[tuple[str, str]]) -> None:
    print(f"\n{language}: what was meant (rows) and what it was taken for")
    print("           " + "".join(f"{kind:>10}" for kind in KINDS))
    for meant in KINDS:
        print(f"  {meant:9}" + "".join(f"{counted[meant, taken]:10}" for taken in KINDS))


def _speed() -> None:
    content, reader = challenge("demo")
    scene = Scene(1, SameDay(content.days[0]), "full")
    grammar = Lark(GRAMMAR, parser="lalr")
    parse = _seconds(lambda: grammar.parse(SCORE), times=2000)
    chatter = _seconds(lambda: reader.read(CHATTER, scene), times=20000)
    score = _seconds(lambda: reader.read(SCORE, scene), times=2000)
    print(f"\nlark LALR parse of {SCORE!r}: {parse * 1e6:.0f} us")
    print(f"chatter {CHATTER!r}: {chatter * 1e6:.1f} us, {chatter / parse:.2f} of the parse")
    print(f"{1 / chatter:.0f} such messages a second")
    print(f"score {SCORE!r}: {score * 1e6:.0f} us, {score / parse:.2f} of the parse")
    talk = [line for line in corpus(*open_files()) if line.expect["kind"] == "chatter"]
    scores = [line for line in corpus(*open_files()) if line.expect["kind"] == "score"]
    for name, lines in (("hard chatter", talk), ("scores", scores)):
        mean = _seconds(lambda lines=lines: _read_all(lines), times=1) / len(lines)
        print(f"{name} of the corpus: {mean * 1e6:.0f} us on average, {mean / parse:.2f} parses")
    scene = Scene(2, SameDay(content.days[1]), "full")
    for unit in HOSTILE:
        half, whole = (
            _seconds(lambda n=n, unit=unit: reader.read((unit * n)[:n], scene), times=5)
            for n in (2048, 4096)
        )
        print(f"4,096 characters of {unit!r}: {whole * 1e3:.1f} ms, {whole / half:.1f} x half")


def _read_all(lines: Iterable[Line]) -> None:
    for line in lines:
        read_line(line)


def _seconds(action: Callable[[], object], *, times: int) -> float:
    best = float("inf")
    for _ in range(3):
        started = time.perf_counter()
        for _ in range(times):
            action()
        best = min(best, (time.perf_counter() - started) / times)
    return best
