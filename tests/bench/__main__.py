"""`python -m tests.bench NAME`: print figures and ratios of one run."""

from __future__ import annotations

import sys

from tests.bench import engines, fit, fit_questions, fuzz, jotting, reading, review

BENCHES = {
    "reading": reading.run,
    "aside": reading.run_aside,
    "jotting": jotting.run,
    "jotting-aside": jotting.run_aside,
    "review": review.run,
    "engines": engines.run,
    "fit": fit.run,
    "questions": fit_questions.run,
    "fuzz": fuzz.run,
}

# They take long, need a server, or spend what is put aside.
_ON_REQUEST = {"aside", "jotting-aside", "engines", "fit", "questions", "fuzz"}


def main(arguments: list[str]) -> int:
    names = arguments or ["all"]
    if names == ["all"]:
        names = [name for name in BENCHES if name not in _ON_REQUEST]
    unknown = [name for name in names if name not in BENCHES]
    if unknown:
        print(f"no bench {unknown[0]!r}; there are: all, {', '.join(BENCHES)}", file=sys.stderr)
        return 1
    for name in names:
        BENCHES[name]()
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
