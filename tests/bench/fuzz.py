"""Throw a million messages at the reader: none may raise, none may take longer than 20 ms.

Most are messages of the corpus, mutated; hypothesis writes some, and atheris looks for new paths
through the code in a process of its own. `python -m tests.bench fuzz`.
"""

from __future__ import annotations

import random
import subprocess
import sys
import time

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.reading.reader import Scene
from bot.reading.values import reading_to_json
from tests.reading.corpus_check import challenge, corpus, open_files, read_line

MUTATED = 1_000_000
GENERATED = 20_000
GUIDED = 200_000
SLOW_S = 0.020
LONGEST = 4096  # characters in a message of the platform
SEED = 20261125
PIECES = (
    *("3", "45", "12:34", " + ", "rounds", "Runden", "tours", "reps", "½", "３", "٤", "🔟", "\n"),
    *("not", "nicht", "pas", "you", "capped", "left", "um", "und", "et", "y", "e", "?", "??", "."),
    *("lunges", "Kniebeugen", "pompes", "km", "kg", "'", '"', "«", "\u200f", "\u0301", "'s"),
)


def run() -> None:
    """Print how many messages were read and how long the slowest took."""
    slowest = _mutated()
    _generated()
    print(f"{GENERATED:,} messages written by hypothesis read, none raised")
    _guided()
    if slowest > SLOW_S:
        print(f"SLOW: {slowest * 1e3:.1f} ms, more than {SLOW_S * 1e3:.0f} ms", file=sys.stderr)
        sys.exit(1)


def _scenes() -> list[tuple[str, Scene]]:
    found = []
    for name in ("demo", "mill"):
        content, _ = challenge(name)
        days = dict(enumerate(content.days, start=1))
        found += [(name, Scene(n, days, content.head.divisions[0].id)) for n in days]
    return found


def _mutated() -> float:
    chance = random.Random(SEED)
    lines = list(corpus(*open_files()))
    texts = [line.text for line in lines]
    for line in lines:  # the words of a language are gathered when it is first met
        read_line(line)
    scenes = _scenes()
    times: list[tuple[float, str]] = []
    started = time.perf_counter()
    for number in range(MUTATED):
        name, scene = scenes[number % len(scenes)]
        text = _mutation(chance, texts)
        _, reader = challenge(name)
        before = time.process_time()
        reading_to_json(reader.read(text, scene))
        took = time.process_time() - before
        if took > SLOW_S / 4:
            times.append((took, text))
    times.sort(reverse=True)
    print(
        f"{MUTATED:,} mutated messages read in {time.perf_counter() - started:.0f} s, none raised"
    )
    print(f"{len(times)} took longer than {SLOW_S * 250:.0f} ms; the slowest:")
    for took, text in times[:3]:
        print(f"  {took * 1e3:.1f} ms, {len(text)} characters: {text!r}")
    return times[0][0] if times else 0.0


def _mutation(chance: random.Random, texts: list[str]) -> str:
    text = chance.choice(texts)
    for _ in range(chance.randint(1, 6)):
        at = chance.randint(0, len(text))
        until = min(len(text), at + chance.randint(0, 12))
        match chance.randint(0, 5):
            case 0:
                text = text[:at] + text[until:]
            case 1:
                text = text[:at] + chance.choice(PIECES) + text[at:]
            case 2:
                text = text[:at] + text[at:until] * chance.randint(2, 40) + text[until:]
            case 3:
                text = text[:at] + chr(chance.randint(1, 0x2FFF)) + text[at:]
            case 4:
                text = text[:at] + chance.choice(texts)[chance.randint(0, 20) :]
            case _:
                text = text[:at] + str(chance.randint(0, 9999)) + text[until:]
    return text[:LONGEST]


def _generated() -> None:
    scenes = _scenes()
    texts = st.text(max_size=LONGEST) | st.lists(st.sampled_from(PIECES)).map("".join)

    @settings(max_examples=GENERATED, deadline=None, suppress_health_check=list(HealthCheck))
    @given(text=texts, scene=st.sampled_from(scenes))
    def reads(text: str, scene: tuple[str, Scene]) -> None:
        reading_to_json(challenge(scene[0])[1].read(text, scene[1]))

    reads()


def _guided() -> None:
    done = subprocess.run(  # noqa: S603 - our own module
        [sys.executable, "-m", "tests.bench.fuzz", f"-runs={GUIDED}", f"-seed={SEED}"],
        capture_output=True,
        text=True,
        check=False,
    )
    last = [row for row in done.stderr.splitlines() if row.startswith("Done")]
    print(f"atheris: {last[0] if last else done.stderr[-2000:]}")
    if done.returncode:
        sys.exit(done.returncode)


def _guided_by_coverage() -> None:
    """Let atheris choose the messages; it ends the process."""
    import atheris  # noqa: PLC0415 - no wheel for every machine, needed here only

    scenes = _scenes()

    def one(data: bytes) -> None:
        given_ = atheris.FuzzedDataProvider(data)
        name, scene = scenes[given_.ConsumeIntInRange(0, len(scenes) - 1)]
        text = given_.ConsumeUnicodeNoSurrogates(LONGEST)
        reading_to_json(challenge(name)[1].read(text, scene))

    atheris.Setup(sys.argv, one)
    atheris.instrument_all()
    atheris.Fuzz()


if __name__ == "__main__":
    _guided_by_coverage()
