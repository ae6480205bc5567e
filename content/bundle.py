"""Files that people send: a challenge as a zip, a day as YAML, shorthand as text.

Everything in them is untrusted. A zip is looked at entry by entry and unpacked under names of
ours, so that no path, link or size that it claims is ever believed; aliases and deep nesting are
refused by `source`.
"""

from __future__ import annotations

import io
import re
import stat
import tempfile
import zipfile
import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from content.challenge import MOST_DAYS, Challenge, Head, RestDay, WorkoutDay
from content.challenge_file import challenge_files, head_yaml
from content.day_file import movements_yaml
from content.errors import ContentInvalid, FileRefused, Problem, Unfit
from content.loading import load_challenge, load_day, own_movements
from content.movement import Movement
from content.source import MOST_BYTES

MOST_ZIP_BYTES = 1024 * 1024
MOST_UNPACKED_BYTES = 1024 * 1024  # 60 days of a few KiB are far below
MOST_ENTRIES = MOST_DAYS + 4  # the head, the movements, the folder
_NAME = re.compile(r"challenge\.yaml|movements\.yaml|day-[1-9][0-9]{0,3}\.yaml")
_METHODS = {zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED}
_LOCKED = 0x1  # bit of the general purpose flags. Source: PKWARE APPNOTE, 4.4.4
_BROKEN = (
    zipfile.BadZipFile,
    zlib.error,
    EOFError,
    NotImplementedError,
    RuntimeError,
    UnicodeDecodeError,
    ValueError,
    OSError,
)


@dataclass(frozen=True, slots=True)
class Bundle:
    """A challenge that came as a zip, and the movements of its own, used or not."""

    content: Challenge
    own: tuple[Movement, ...]


def read_text(data: bytes) -> str:
    """Read a text file.

    Raises:
        FileRefused: It is too large, or no UTF-8.
    """
    if len(data) > MOST_BYTES:
        raise FileRefused(Unfit.SIZE, most=MOST_BYTES // 1024)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise FileRefused(Unfit.TEXT) from None


def read_day(data: bytes, head: Head, own: Sequence[Movement]) -> WorkoutDay | RestDay:
    """Read a day file for a challenge with this head and these movements beside the shipped ones.

    Raises:
        FileRefused: It is too large.
        ContentInvalid: Carries every problem; `file` is a bare name.
    """
    if len(data) > MOST_BYTES:
        raise FileRefused(Unfit.SIZE, most=MOST_BYTES // 1024)
    with tempfile.TemporaryDirectory(prefix="rungbell-") as name:
        folder = Path(name)
        (folder / "challenge.yaml").write_text(head_yaml(head), encoding="utf-8")
        if own:
            (folder / "movements.yaml").write_text(movements_yaml(own), encoding="utf-8")
        (folder / "day.yaml").write_bytes(data)
        try:
            return load_day(folder / "day.yaml")[0]
        except ContentInvalid as error:
            raise _with_bare_names(error) from None


def read_bundle(data: bytes) -> Bundle:
    """Read a zip that holds a challenge folder.

    Raises:
        FileRefused: It is not opened: too large, too many files, names or links we do not take.
        ContentInvalid: Carries every problem of every file; `file` is a bare name.
    """
    files = unpack(data)
    with tempfile.TemporaryDirectory(prefix="rungbell-") as name:
        folder = Path(name)
        for file, written in files.items():
            (folder / file).write_bytes(written)
        try:
            return Bundle(load_challenge(folder), own_movements(folder))
        except ContentInvalid as error:
            raise _with_bare_names(error) from None


def unpack(data: bytes) -> dict[str, bytes]:
    """Give the files of a zip by their bare names; all are in one folder or in none.

    Raises:
        FileRefused: As `read_bundle`.
    """
    if len(data) > MOST_ZIP_BYTES:
        raise FileRefused(Unfit.SIZE, most=MOST_ZIP_BYTES // 1024)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return _unpacked(archive)
    except _BROKEN:
        raise FileRefused(Unfit.BROKEN) from None


def _unpacked(archive: zipfile.ZipFile) -> dict[str, bytes]:
    entries = archive.infolist()
    if len(entries) > MOST_ENTRIES:
        raise FileRefused(Unfit.MANY, most=MOST_ENTRIES)
    found: dict[str, bytes] = {}
    folders = set()
    left = MOST_UNPACKED_BYTES
    for entry in entries:
        folder, name = _place(entry)
        folders.add(folder)
        if len(folders) > 1:
            raise FileRefused(Unfit.NAME, name=entry.filename)
        if not name:
            continue  # the folder itself
        if name in found:
            raise FileRefused(Unfit.TWICE, name=name)
        found[name] = _contents(archive, entry, min(left, MOST_BYTES))
        left -= len(found[name])
    return found


def _place(entry: zipfile.ZipInfo) -> tuple[str, str]:
    """Give the folder and the bare name of an entry, which must be one of ours."""
    if stat.S_ISLNK(entry.external_attr >> 16):
        raise FileRefused(Unfit.LINK, name=entry.filename)
    if entry.flag_bits & _LOCKED:
        raise FileRefused(Unfit.LOCKED, name=entry.filename)
    if entry.compress_type not in _METHODS:
        raise FileRefused(Unfit.BROKEN, name=entry.filename)
    folder, _, name = entry.filename.rpartition("/")
    is_odd = any(sign in folder for sign in ("/", "\\", ":", "\0")) or folder in {".", ".."}
    if is_odd or (entry.filename.startswith("/")) or (name and not _NAME.fullmatch(name)):
        raise FileRefused(Unfit.NAME, name=entry.filename)
    if not name and not folder:
        raise FileRefused(Unfit.NAME, name=entry.filename)
    return folder, name


def _contents(archive: zipfile.ZipFile, entry: zipfile.ZipInfo, most: int) -> bytes:
    """Unpack one entry, however large it says it is, up to so many bytes."""
    with archive.open(entry) as opened:
        data = opened.read(most + 1)
    if len(data) > most:
        raise FileRefused(Unfit.UNPACKED, name=entry.filename, most=most // 1024)
    return data


def pack(content: Challenge) -> bytes:
    """Write a challenge as a zip of its folder, the same bytes for the same challenge."""
    written = io.BytesIO()
    with zipfile.ZipFile(written, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in challenge_files(content):
            entry = zipfile.ZipInfo(f"challenge/{name}", date_time=(1980, 1, 1, 0, 0, 0))
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = (stat.S_IFREG | 0o644) << 16
            archive.writestr(entry, text.encode())
    return written.getvalue()


def _with_bare_names(error: ContentInvalid) -> ContentInvalid:
    """Take from problems the folder that the files lay in for a moment."""
    return ContentInvalid(
        [
            Problem(Path(found.file.name), found.line, found.field, found.message)
            for found in error.problems
        ]
    )
