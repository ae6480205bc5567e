"""The archive file: a zip of JSON lines that either engine can be read into and restored from.

`manifest.json` names the schema's revision and, for each table, how many rows its file
`TABLE.jsonl` has and their SHA-256. A row is an object with every column: instants are ISO 8601 in
UTC, dates are ISO 8601, the rest is as JSON has it. Rows come in the order of their key, so that
two archives of the same rows have the same hashes.
"""

from __future__ import annotations

import hashlib
import json
import zipfile
import zlib
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Any

from store.errors import ArchiveDamaged

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping
    from pathlib import Path

FORMAT = 1
_MANIFEST = "manifest.json"
# What zipfile raises on a file that is none, is cut, scratched, or needs a password or method.
_NOT_WHOLE = (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError)

Row = dict[str, Any]


@dataclass(frozen=True, slots=True)
class TableFile:
    """What the manifest says of one table."""

    rows: int
    sha256: str


@dataclass(frozen=True, slots=True)
class Manifest:
    """What an archive holds."""

    revision: str
    made_at: datetime
    tables: Mapping[str, TableFile]


def write_archive(
    path: Path, *, revision: str, made_at: datetime, tables: Mapping[str, Iterable[Row]]
) -> Manifest:
    """Write an archive, row by row; the file is complete only when this returns."""
    with zipfile.ZipFile(path, "w", compression=zipfile.ZIP_DEFLATED) as file:
        written = {name: _write_table(file, name, rows) for name, rows in tables.items()}
        manifest = Manifest(revision, made_at, written)
        file.writestr(_MANIFEST, _manifest_to_json(manifest))
    return manifest


def _write_table(file: zipfile.ZipFile, name: str, rows: Iterable[Row]) -> TableFile:
    digest, count = hashlib.sha256(), 0
    with file.open(_member(name), "w", force_zip64=True) as out:
        for row in rows:
            plain = {key: _plain(value) for key, value in row.items()}
            # With ASCII alone, even half a sign that a client sent gets through unchanged.
            line = json.dumps(plain, sort_keys=True).encode("ascii") + b"\n"
            digest.update(line)
            out.write(line)
            count += 1
    return TableFile(count, digest.hexdigest())


def _plain(value: object) -> object:
    if isinstance(value, datetime):
        aware = value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)
        return aware.isoformat()
    return value.isoformat() if isinstance(value, date) else value


def _member(table: str) -> str:
    return f"{table}.jsonl"


class Archive:
    """An archive open for reading."""

    def __init__(self, file: zipfile.ZipFile) -> None:
        self._file = file
        self.manifest = _manifest_from_json(file.read(_MANIFEST))

    def check(self) -> None:
        """Read everything once.

        Raises:
            ArchiveDamaged: A table has other rows than the manifest says.
        """
        expected = {_MANIFEST, *map(_member, self.manifest.tables)}
        if set(self._file.namelist()) != expected or len(self._file.namelist()) != len(expected):
            raise ArchiveDamaged("it holds other files than its manifest says")
        for name, table in self.manifest.tables.items():
            digest, count = hashlib.sha256(), 0
            for line in self._lines(name):
                digest.update(line)
                count += 1
            if (count, digest.hexdigest()) != (table.rows, table.sha256):
                raise ArchiveDamaged(f"the rows of {name} are not those that were written")

    def rows(self, table: str) -> Iterator[Row]:
        """Give a table's rows as JSON has them."""
        return (json.loads(line) for line in self._lines(table))

    def _lines(self, table: str) -> Iterator[bytes]:
        with self._file.open(_member(table)) as lines:
            yield from lines


@contextmanager
def open_archive(path: Path) -> Iterator[Archive]:
    """Open an archive and check it from end to end.

    Raises:
        ArchiveDamaged: It is no archive of this program, or not the one that was written.
        OSError: The file cannot be read.
    """
    with ExitStack() as stack:
        try:
            archive = Archive(stack.enter_context(zipfile.ZipFile(path)))
            archive.check()
        except _NOT_WHOLE as exc:
            raise ArchiveDamaged("it is no zip file, or not as it was written") from exc
        except (KeyError, ValueError, TypeError, AttributeError) as exc:
            raise ArchiveDamaged("its manifest cannot be read") from exc
        yield archive


def column_reader(kind: type) -> Callable[[Any], Any]:
    """Give what turns a column's JSON back into a value of `kind`."""
    readers: dict[type, Callable[[Any], Any]] = {
        datetime: datetime.fromisoformat,
        date: date.fromisoformat,
    }
    read = readers.get(kind)
    return (lambda value: value) if read is None else lambda value: value and read(value)


def _manifest_to_json(manifest: Manifest) -> str:
    return json.dumps(
        {
            "format": FORMAT,
            "revision": manifest.revision,
            "made_at": manifest.made_at.isoformat(),
            "tables": {
                name: {"rows": table.rows, "sha256": table.sha256}
                for name, table in manifest.tables.items()
            },
        },
        indent=1,
    )


def _manifest_from_json(text: bytes) -> Manifest:
    found = json.loads(text)
    if found["format"] != FORMAT:
        raise ArchiveDamaged(f"its format is {found['format']!r}, this program reads {FORMAT}")
    return Manifest(
        revision=str(found["revision"]),
        made_at=datetime.fromisoformat(found["made_at"]),
        tables={
            str(name): TableFile(int(table["rows"]), str(table["sha256"]))
            for name, table in found["tables"].items()
        },
    )
