"""How well jottings of tired coaches are read, with every miss of the open files.

The lines of `aside*.jsonl` are put aside: `python -m tests.bench jotting-aside` counts them and
shows no text.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable

from content.shorthand.values import Jotted
from tests.content.shorthand.jotted_check import (
    Jot,
    Verdict,
    aside_files,
    differences,
    jots,
    open_files,
    read,
    verdict,
)


def run() -> None:
    """Print the figures of the open files, and every miss."""
    _judge(open_files(), show=True)


def run_aside() -> None:
    """Count the files put aside."""
    _judge(aside_files(), show=False)


def _judge(names: Iterable[str], *, show: bool) -> None:
    verdicts: dict[str, Counter[Verdict]] = defaultdict(Counter)
    for line in jots(*names):
        got = read(line)
        judged = verdict(line.expect, got)
        verdicts[line.file][judged] += 1
        if show and judged not in {Verdict.RIGHT, Verdict.RIGHT_ASKING}:
            _show(line, got, judged)
    for file, counted in verdicts.items():
        print(f"\n{file}: {counted.total()} jottings")
        for judged in Verdict:
            print(f"  {judged:24} {counted[judged]:4}  {counted[judged] / counted.total():6.1%}")


def _show(line: Jot, got: Jotted, judged: Verdict) -> None:
    print(f"{line.file}:{line.number}: {judged}: {line.text!r}")
    remarks = [*got.problems, *got.doubts]
    if line.expect["kind"] != "ask":
        remarks += differences(line.expect, got)
    for remark in remarks:
        print(f"    {remark}")
