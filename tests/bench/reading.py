"""How well the corpus is read, file by file, with every miss of the open files, and how fast.

The lines of `aside-*.jsonl` are counted and never shown: they are put aside.
"""

from __future__ import annotations

import time
from collections import Counter, defaultdict

from bot.reading.reader import Reader, Scene
from content.challenge import Challenge
from content.loading import DEMO, load_challenge
from tests.reading.corpus_check import CORPUS, SameDay, corpus, read_line, verdict

CHATTER = "see you at the park tomorrow morning, bring water"
SCORE = "3 rounds + 45"
HOSTILE = ("3r", "1.", "cap ", "nine hundred and ", "12s + 9 ")


def run() -> None:
    """Print the figures."""
    content = load_challenge(DEMO)
    reader = Reader(movements=content.movements, divisions=content.head.divisions)
    for path in sorted(CORPUS.glob("*.jsonl")):
        _file(reader, content, path.name)
    _speed(reader, content)


def _file(reader: Reader, content: Challenge, name: str) -> None:
    aside = name.startswith("aside")
    verdicts: dict[str, Counter[str]] = defaultdict(Counter)
    for line in corpus(name):
        got = read_line(reader, content, line)
        judged = verdict(line.expect, got)
        verdicts[line.expect["kind"]][judged] += 1
        if judged != "right" and not aside:
            print(f"{name}:{line.number}: {judged}: {line.text!r}\n    {got}")
    print(f"\n{name}{' (put aside)' if aside else ''}")
    for kind, counted in sorted(verdicts.items()):
        share = counted["right"] / counted.total()
        rest = ", ".join(f"{n} {what}" for what, n in counted.most_common() if what != "right")
        print(f"  {kind:9} {counted.total():4}  right {share:6.1%}  {rest}")


def _speed(reader: Reader, content: Challenge) -> None:
    scene = Scene(1, SameDay(content.days[0]), "full")
    chatter, score = (_seconds(reader, text, scene, times=3000) for text in (CHATTER, SCORE))
    print(f"\na chatter message {chatter * 1e6:.0f} us, a score {score * 1e6:.0f} us")
    print(f"ratio score : chatter {score / chatter:.2f}; {1 / chatter:.0f} chatter a second")
    scene = Scene(2, SameDay(content.days[1]), "full")
    for unit in HOSTILE:
        half, whole = (_seconds(reader, (unit * n)[:n], scene, times=5) for n in (2048, 4096))
        print(f"4,096 characters of {unit!r}: {whole * 1e3:.1f} ms, {whole / half:.1f} x half")


def _seconds(reader: Reader, text: str, scene: Scene, *, times: int) -> float:
    best = float("inf")
    for _ in range(3):
        started = time.perf_counter()
        for _ in range(times):
            reader.read(text, scene)
        best = min(best, (time.perf_counter() - started) / times)
    return best
