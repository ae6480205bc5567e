"""Write tables as CSV or as an XLSX workbook that no spreadsheet program runs anything from."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from bot.result_table import Cell

# What a spreadsheet program may take for a formula. Source: OWASP, CSV Injection.
_STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")
# What XML cannot hold. Source: XML 1.0, 2.2 Characters.
_NOT_IN_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
_LONGEST_CELL = 32_767  # Microsoft, "Excel specifications and limits"

Table = tuple[Sequence[str], Iterable[Sequence[Cell]]]


class NotATable(Exception):
    """A file's name ends in something that is written neither as CSV nor as XLSX."""

    def __init__(self, file: Path) -> None:
        self.file = file
        super().__init__(f"{file}: a table is written as .csv or .xlsx, not as {file.suffix!r}")


def check_name(file: Path) -> None:
    """Refuse a file name that tells no format.

    Raises:
        NotATable: It does not.
    """
    if file.suffix.lower() not in {".csv", ".xlsx"}:
        raise NotATable(file)


def write_tables(file: Path, tables: Mapping[str, Table]) -> None:
    """Write tables by name: a sheet for each in XLSX, the first alone in CSV.

    Raises:
        NotATable: The file's name tells no format.
    """
    check_name(file)
    if file.suffix.lower() == ".csv":
        _write_csv(file, next(iter(tables.values())))
    else:
        _write_xlsx(file, tables)


def harmless(cell: Cell) -> Cell:
    """Put an apostrophe before a text that could be taken for a formula; a number stays one."""
    if isinstance(cell, str) and cell.startswith(_STARTS_A_FORMULA):
        return f"'{cell}"
    return cell


def _write_csv(file: Path, table: Table) -> None:
    columns, rows = table
    # The mark in front tells spreadsheet programs that it is UTF-8; half a sign becomes "?".
    with file.open("w", encoding="utf-8-sig", errors="replace", newline="") as out:
        writer = csv.writer(out)
        writer.writerow(columns)
        writer.writerows([harmless(cell) for cell in row] for row in rows)


def _write_xlsx(file: Path, tables: Mapping[str, Table]) -> None:
    from openpyxl import Workbook  # noqa: PLC0415 - only here, and slow to load

    book = Workbook(write_only=True)
    for name, (columns, rows) in tables.items():
        sheet = book.create_sheet(name)
        sheet.freeze_panes = "A2"
        sheet.append(list(columns))
        for row in rows:
            sheet.append([_fit_for_xml(harmless(cell)) for cell in row])
    book.save(file)


def _fit_for_xml(cell: Cell) -> Cell:
    if not isinstance(cell, str):
        return cell
    text = _NOT_IN_XML.sub("\ufffd", cell)
    return text if len(text) <= _LONGEST_CELL else f"{text[: _LONGEST_CELL - 1]}…"
