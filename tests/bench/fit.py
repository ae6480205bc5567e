"""Fit the weights by which the reader doubts what it found: `python -m tests.bench fit`.

Prints first what they hold back, and what that costs, on files they were not fitted to (each tenth
of the files in turn), then writes `bot/reading/weights.json`. Needs scikit-learn: `.[fit]`.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from bot.reading import doubt
from bot.reading.reader import Reader
from content.score import score_to_json
from tests.reading.corpus_check import (
    Line,
    challenge,
    corpus,
    fit_files,
    open_files,
    same_result,
    scene_of,
)

WEIGHTS = Path(doubt.__file__).with_name("weights.json")
LIMITS = (0.05, 0.1, 0.2, 0.3, 0.4, 0.5)
_LEAST = 0.05  # weights nearer to nought are left out


@dataclass(frozen=True)
class Example:
    """Something found in a line, the words around it, and whether it is the line's score."""

    file: str
    features: dict[str, float]
    is_score: bool
    unsure: bool


def run() -> None:
    """Print the figures and write the weights."""
    from sklearn.feature_extraction import DictVectorizer  # noqa: PLC0415 - only here
    from sklearn.linear_model import LogisticRegression  # noqa: PLC0415
    from sklearn.model_selection import GroupKFold  # noqa: PLC0415

    examples = [each for line in corpus(*open_files(), *fit_files()) for each in _examples(line)]
    counted = Counter(name for each in examples for name in each.features)
    vectors = DictVectorizer()
    x = vectors.fit_transform(
        {name: value for name, value in each.features.items() if counted[name] > 1}
        for each in examples
    )
    x.indices, x.indptr = x.indices.astype("int32"), x.indptr.astype("int32")
    y = [each.is_score for each in examples]
    model = LogisticRegression(C=1, max_iter=1000)
    likely = [0.0] * len(examples)
    files = [each.file for each in examples]
    for rest, part in GroupKFold(10).split(x, y, files):
        model.fit(x[rest], [y[place] for place in rest])
        for place, each in zip(part, model.predict_proba(x[part])[:, 1], strict=True):
            likely[place] = each
    _report(examples, likely)
    model.fit(x, y)
    weights = dict(zip(vectors.feature_names_, model.coef_[0].tolist(), strict=True))
    kept = {name: round(each, 2) for name, each in weights.items() if abs(each) >= _LEAST}
    kept["|"] = round(float(model.intercept_[0]), 2)
    WEIGHTS.write_text(
        json.dumps(kept, ensure_ascii=False, sort_keys=True, indent=0) + "\n", encoding="utf-8"
    )
    print(f"{len(kept)} weights written")


def _examples(line: Line) -> Iterator[Example]:
    """Give what the patterns find in a line, whatever the rules then make of it.

    What is to be asked about is a score to the weights: they are not what tells it is unsure.
    """
    is_asked = line.expect["kind"] == "ask"
    reader, noted = _noting_reader(line.challenge)
    noted.clear()
    reader.read(line.text, scene_of(line))
    told = [line.expect, *line.expect.get("also", [])] if line.expect["kind"] == "score" else []
    for words in noted:
        results = [score_to_json(score) for score in words.scores]
        is_score = is_asked or any(same_result(e["result"], r) for e in told for r in results)
        if told and words.unsure and not is_score:
            continue  # a part of it, perhaps
        if not words.is_alone:
            yield Example(line.file, dict(doubt.features(words)), is_score, words.unsure)


@cache
def _noting_reader(name: str) -> tuple[Reader, list[doubt.Around]]:
    """Give a reader that doubts nothing, and the list in which it notes what it found."""
    content, _ = challenge(name)
    noted: list[doubt.Around] = []

    def note(words: doubt.Around) -> float:
        noted.append(words)
        return 1.0

    reader = Reader(movements=content.movements, divisions=content.head.divisions, judge=note)
    return reader, noted


def _report(examples: Sequence[Example], likely: Sequence[float]) -> None:
    judged = list(zip(examples, likely, strict=True))
    print("found in files not fitted to: held back of what is no score, and of what is one")
    for name in ("open", "fit", "all"):
        part = [(e, p) for e, p in judged if name == "all" or e.file.startswith(name)]
        for is_score in (False, True):
            chosen = [p for e, p in part if e.is_score is is_score]
            below = "  ".join(
                f"<{limit} {sum(p < limit for p in chosen) / max(1, len(chosen)):.1%}"
                for limit in LIMITS
            )
            print(
                f"  {name:5} {'scores' if is_score else 'no scores':10} {len(chosen):5}  {below}"
            )
