"""What can be wrong with written material.

ContentError
├── ContentInvalid      one or more files do not say what they should; carries every problem
├── FileRefused         a file from outside is not opened at all; carries why
├── UnknownDivision     a division was asked for that the workout does not have
└── DivisionUnclear     nobody says what a division is like, so nothing can be proposed for it
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path


class ContentError(Exception):
    """Root of everything raised by `content`."""


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong in one place of one file, and what would be right."""

    file: Path
    line: int  # from 1; 0 when the file as a whole is meant
    field: str  # dotted path, "" for the whole file
    message: str

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else f"{self.file}"
        return (
            f"{place}: {self.field}: {self.message}" if self.field else f"{place}: {self.message}"
        )


class ContentInvalid(ContentError):
    """Written material was refused; nothing of it was loaded."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


class Unfit(StrEnum):
    """Why a file from outside is not opened. Each has a text "file_no_..."."""

    SIZE = "size"
    TEXT = "text"
    BROKEN = "broken"
    LOCKED = "locked"
    MANY = "many"
    NAME = "name"
    TWICE = "twice"
    LINK = "link"
    UNPACKED = "unpacked"


class FileRefused(ContentError):
    """A file that somebody sent was refused before anything of it was read."""

    def __init__(self, why: Unfit, *, name: str = "", most: int = 0) -> None:
        self.why = why
        self.name = name
        self.most = most
        super().__init__(f"{why}: {name!r}, at most {most}")


class UnknownDivision(ContentError):
    """A division was named that does not exist here."""

    def __init__(self, *, division: str, known: Sequence[str]) -> None:
        self.division = division
        self.known = tuple(known)
        super().__init__(f"no division {division!r}; there are: {', '.join(known)}")


class DivisionUnclear(ContentError):
    """A division's words do not tell whether it is lighter, without kit or without jumps."""

    def __init__(self, *, division: str) -> None:
        self.division = division
        super().__init__(
            f"the words of the division {division!r} do not tell what it is like; "
            "its name, nicknames or summary should say lighter, no kit or no jumps"
        )
