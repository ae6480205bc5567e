"""Tables come back as they were written, and no cell of theirs is run as a formula."""

from __future__ import annotations

import csv

import openpyxl
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.spreadsheet import NotATable, harmless, write_tables

COLUMNS = ("name", "words", "day", "load_kg", "mark")
ROWS = [
    ("Zoë 💪 נועה", "3 rounds + 45", 1, 16.5, None),
    ('=HYPERLINK("http://x")', "+45", -1_001_234_567_890, 0.0, "-far"),
    ("@cmd", "\tnine", 2**52, None, "\r9"),
    ("a;b,c", 'two\nlines "quoted"', 3, 20.0, ""),
]
SHOWN = [
    ["Zoë 💪 נועה", "3 rounds + 45"],
    ['\'=HYPERLINK("http://x")', "'+45"],
    ["'@cmd", "'\tnine"],
    ["a;b,c", 'two\nlines "quoted"'],
]


@pytest.fixture(params=["csv", "xlsx"])
def table(request, tmp_path):
    file = tmp_path / f"results.{request.param}"
    write_tables(file, {"results": (COLUMNS, ROWS), "history": (("a",), [("=1",)])})
    return file


def test_pandas_reads_back_what_was_written(table):
    read = pd.read_csv if table.suffix == ".csv" else pd.read_excel
    found = read(table)

    assert tuple(found.columns) == COLUMNS
    assert found[["name", "words"]].to_numpy().tolist() == SHOWN
    assert found["day"].tolist() == [row[2] for row in ROWS]
    assert found["load_kg"].fillna(-1).tolist() == [16.5, 0.0, -1.0, 20.0]


def test_a_csv_begins_with_the_mark_of_utf_8(table):
    if table.suffix == ".csv":
        assert table.read_bytes().startswith(b"\xef\xbb\xbfname,")
    else:
        assert openpyxl.load_workbook(table).sheetnames == ["results", "history"]


def test_no_cell_of_a_workbook_is_a_formula(table):
    if table.suffix == ".csv":
        with table.open(encoding="utf-8-sig", newline="") as lines:
            cells = [cell for row in csv.reader(lines) for cell in row]
        assert not any(cell.startswith(("=", "+", "@", "\t", "\r")) for cell in cells)
        return
    book = openpyxl.load_workbook(table)
    assert {cell.data_type for sheet in book for row in sheet for cell in row} <= {
        "s",
        "inlineStr",
        "n",
    }


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\t", "\r"])
def test_a_text_that_may_be_a_formula_gets_an_apostrophe(sign):
    assert harmless(f"{sign}1") == f"'{sign}1"


@pytest.mark.parametrize("cell", [-5, -0.5, None, "3 + 4", "", "'"])
def test_numbers_and_other_texts_stay(cell):
    assert harmless(cell) == cell


@settings(deadline=None, max_examples=60)
@given(text=st.text())
def test_any_text_can_be_written(text, tmp_path_factory):
    folder = tmp_path_factory.mktemp("any")
    for name in ("any.csv", "any.xlsx"):
        write_tables(folder / name, {"results": (("words",), [(text,)])})

    [[cell]] = list(
        openpyxl.load_workbook(folder / "any.xlsx")["results"].iter_rows(
            min_row=2, values_only=True
        )
    )
    assert not str(cell).startswith("=")


def test_half_a_sign_can_be_written(tmp_path):
    for name in ("half.csv", "half.xlsx"):
        write_tables(tmp_path / name, {"results": (("words",), [("a\ud83d",)])})

    assert pd.read_csv(tmp_path / "half.csv")["words"].tolist() == ["a?"]


def test_another_ending_is_refused(tmp_path):
    with pytest.raises(NotATable, match=r"\.csv or \.xlsx, not as '\.pdf'"):
        write_tables(tmp_path / "results.pdf", {})
