"""Fit the weights that tell what a question is about: `python -m tests.bench questions`.

Prints first how they do on messages they were not fitted to (each eighth of the messages in turn;
what says the same in several languages stays together), then writes
`bot/reading/question_weights.json`. Needs scikit-learn: `.[fit]`.
"""

from __future__ import annotations

import json
import zlib
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from bot.reading import subjects
from bot.reading.reader import Reader
from bot.reading.subjects import NOTHING, Heard, Likely
from bot.reading.values import About
from tests.reading.corpus_check import Line, challenge, corpus, fit_files, open_files, scene_of

WEIGHTS = Path(subjects.__file__).with_name("question_weights.json")
LIMITS = (0.25, 0.35, 0.45, 0.55, 0.65)
_PARTS = 8
_STRENGTH = 1.0  # the inverse of how much large weights cost; 0.3 to 1 do much the same
_LEAST = 0.04  # weights nearer to nought are left out
# Files in which the languages say the same things: so many lines of each.
_PARALLEL = {
    "only-questions.jsonl": 181,
    "only-questions2.jsonl": 60,
}
_KINDS = {"question", "chatter", "score", "ask", "take_back"}


@dataclass(frozen=True)
class Example:
    """What a line holds, and its subject."""

    line: Line
    features: dict[str, float]
    subject: str


def run() -> None:
    """Print the figures and write the weights."""
    from sklearn.feature_extraction import DictVectorizer  # noqa: PLC0415 - only here
    from sklearn.linear_model import LogisticRegression  # noqa: PLC0415

    lines = corpus(*open_files(), *fit_files())
    examples = [each for line in lines if line.expect["kind"] in _KINDS for each in _heard(line)]
    counted = Counter(name for each in examples for name in each.features)
    vectors = DictVectorizer()
    x = vectors.fit_transform(
        {name: value for name, value in each.features.items() if counted[name] > 1}
        for each in examples
    )
    x.indices, x.indptr = x.indices.astype("int32"), x.indptr.astype("int32")
    y = [each.subject for each in examples]
    model = LogisticRegression(C=_STRENGTH, max_iter=1000, tol=1e-3)
    parts = [_part(each.line) for each in examples]
    found: list[tuple[str, float]] = [("", 0.0)] * len(examples)
    for part in range(_PARTS):
        rest = [place for place, own in enumerate(parts) if own != part]
        held = [place for place, own in enumerate(parts) if own == part]
        model.fit(x[rest], [y[place] for place in rest])
        for place, row in zip(held, model.predict_proba(x[held]), strict=True):
            shares = dict(zip(model.classes_, row, strict=True))
            shares.pop(NOTHING)
            best = max(shares, key=shares.__getitem__)
            found[place] = (str(best), float(shares[best]))
    _report(examples, found)
    model.fit(x, y)
    rows = {
        name: {
            str(place): round(float(each), 2)
            for place, each in enumerate(column)
            if abs(each) >= _LEAST
        }
        for name, column in zip(vectors.feature_names_, model.coef_.T, strict=True)
    }
    rows["|"] = {str(place): round(float(v), 2) for place, v in enumerate(model.intercept_)}
    _write(
        [str(each) for each in model.classes_], {name: row for name, row in rows.items() if row}
    )


def _write(classes: Sequence[str], rows: dict[str, dict[str, float]]) -> None:
    """Write a row a line, so that a change shows what it changed."""
    body = ",\n".join(
        f"{json.dumps(name, ensure_ascii=False)}: {json.dumps(rows[name])}"
        for name in sorted(rows)
    )
    text = f'{{"subjects": {json.dumps(classes)},\n"weights": {{\n{body}\n}}}}\n'
    WEIGHTS.write_text(text, encoding="utf-8")
    print(f"{sum(map(len, rows.values()))} weights of {len(rows)} features written")


def _part(line: Line) -> int:
    number = line.number
    place = (number - 1) % _PARALLEL[line.file] if line.file in _PARALLEL else number // 4
    return zlib.crc32(f"{line.file}:{place}".encode()) % _PARTS


def _heard(line: Line) -> Iterator[Example]:
    """Give what the reader hears in a line, if it comes to ask what is asked at all."""
    reader, noted = _noting_reader(line.challenge)
    noted.clear()
    reader.read(line.text, scene_of(line))
    is_question = line.expect["kind"] == "question"
    for heard in noted:
        subject = line.expect["about"] if is_question else NOTHING
        yield Example(line, dict(subjects.features(heard)), subject)


@cache
def _noting_reader(name: str) -> tuple[Reader, list[Heard]]:
    """Give a reader that takes nothing for a question, and the list of what it heard."""
    content, _ = challenge(name)
    noted: list[Heard] = []

    def note(heard: Heard) -> Likely:
        noted.append(heard)
        return Likely(About.TODAY, 0.0)

    reader = Reader(
        movements=content.movements, divisions=content.head.divisions, judge_question=note
    )
    return reader, noted


def _report(examples: Sequence[Example], found: Sequence[tuple[str, float]]) -> None:
    """Print the shares of questions, and of what is none, at several limits."""
    families = dict.fromkeys(_family(each.line.file) for each in examples)
    print("messages not fitted to: questions right, wrong, missed; answered what is no question")
    for family in families:
        chosen = [
            p for p in zip(examples, found, strict=True) if _family(p[0].line.file) == family
        ]
        for limit in LIMITS:
            _row(f"{family:16} from {limit}", chosen, limit)


def _family(file: str) -> str:
    if file.endswith("-questions.jsonl"):
        return file.removesuffix(".jsonl")
    return "fit" if file.startswith("fit") else "other open"


def _row(name: str, chosen: Sequence[tuple[Example, tuple[str, float]]], limit: float) -> None:
    counted: Counter[str] = Counter()
    for example, (subject, likely) in chosen:
        if example.subject == NOTHING:
            counted["answered" if likely >= limit else "silent"] += 1
        elif likely < limit:
            counted["missed"] += 1
        else:
            counted["right" if subject == example.subject else "wrong"] += 1
    asked = counted["right"] + counted["wrong"] + counted["missed"]
    talk = counted["answered"] + counted["silent"]
    shares = "  ".join(
        f"{what} {counted[what] / max(1, asked):5.1%}" for what in ("right", "wrong", "missed")
    )
    answered = counted["answered"] / max(1, talk)
    print(f"  {name}: {asked:4} {shares}   {talk:4} answered {answered:.1%}")
