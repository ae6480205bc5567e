"""The commands that copy, restore and export, on a played morning."""

from __future__ import annotations

import asyncio
import json

import openpyxl
import pandas as pd
import pytest

from bot.command_line import main
from bot.rehearsal.start import Rehearsal
from bot.result_table import HISTORY, RESULTS
from tests.bot import acts


@pytest.fixture
async def played(play: Rehearsal, tmp_path, monkeypatch) -> Rehearsal:
    """A morning with a correction, a no-rep and a name like a formula."""
    await acts.say(play, "Marlow", "3 rounds + 54")
    await acts.say(play, "Marlow", "make that 3+45")
    await acts.say(play, "Petra", "4 rounds + 2 with 16 kg, RPE 8")
    await acts.say(play, "Oskar", "3+20")
    await acts.say(play, "Ines", "/norep too shallow", reply_to=acts.last_of(play, "Oskar"))
    url = f"sqlite+aiosqlite:///{tmp_path / 'rungbell.sqlite3'}"
    monkeypatch.setenv("RUNGBELL_DATABASE_URL", url)
    return play


async def command(*arguments: object) -> int:
    """Run a command while the bot runs; it has a loop of its own."""
    return await asyncio.to_thread(main, [str(each) for each in arguments])


@pytest.mark.usefixtures("played")
async def test_every_result_is_a_row_and_every_change_a_line(tmp_path, capsys):
    file = tmp_path / "results.csv"

    assert await command("export", "--results", file) == 0

    assert "3 results, 5 lines of history" in capsys.readouterr().out
    found = pd.read_csv(file).set_index("name")
    assert [*found.columns] == [name for name in RESULTS if name != "name"]
    assert found.loc["Marlow", ["score", "words", "state", "changes"]].tolist() == [
        "3 rounds + 45",
        "make that 3+45",
        "counted",
        2,
    ]
    assert [line.partition(" ")[2] for line in found.loc["Marlow", "history"].splitlines()] == [
        "recorded: 3 rounds + 54",
        "corrected: 3 rounds + 54 -> 3 rounds + 45",
    ]
    assert found.loc["Petra", ["effort", "load_kg"]].tolist() == [8, 16.0]
    assert found.loc["Oskar", "state"] == "no_rep"
    assert found.loc["Oskar", "history"].endswith("no_rep: 3 rounds + 20 (too shallow)")
    assert json.loads(found.loc["Marlow", "result_json"])["rounds"] == 3


@pytest.mark.usefixtures("played")
async def test_a_workbook_has_the_history_on_a_sheet_of_its_own(tmp_path):
    file = tmp_path / "results.xlsx"

    assert await command("export", "--results", file, "--challenge", "quayside movers") == 0

    header, *rows = openpyxl.load_workbook(file)["history"].iter_rows(values_only=True)
    assert header == HISTORY
    assert len(rows) == 5
    assert {row[HISTORY.index("why")] for row in rows} == {None, "too shallow"}


@pytest.mark.usefixtures("played")
async def test_a_challenge_that_is_not_there_is_said_with_those_that_are(tmp_path, capsys):
    status = await command("export", "--results", tmp_path / "x.csv", "--challenge", "Dunes")

    assert status == 1
    assert "no challenge 'Dunes'; there are: " in (said := capsys.readouterr().err)
    assert "Seven Mornings on the Quay (Quayside Movers)" in said
    assert not (tmp_path / "x.csv").exists()


async def test_another_ending_is_refused_before_anything_is_read(tmp_path, capsys):
    assert await command("export", "--results", tmp_path / "results.pdf") == 1
    assert ".csv or .xlsx" in capsys.readouterr().err


async def test_a_copy_made_while_the_bot_runs_comes_back_elsewhere(
    played: Rehearsal, tmp_path, monkeypatch, capsys
):
    copy, other = tmp_path / "copy.zip", f"sqlite+aiosqlite:///{tmp_path / 'other.sqlite3'}"
    assert await command("backup", copy) == 0
    await acts.say(played, "Yusuf", "5 rounds")  # after the copy; the bot goes on

    assert await command("restore", copy, "--into", other) == 0
    monkeypatch.setenv("RUNGBELL_DATABASE_URL", other)
    assert await command("export", "--results", tmp_path / "other.csv") == 0

    assert sorted(pd.read_csv(tmp_path / "other.csv")["name"]) == ["Marlow", "Oskar", "Petra"]
    assert "organisers are asked" in capsys.readouterr().out


@pytest.mark.usefixtures("played")
async def test_restoring_over_results_needs_to_be_told(tmp_path, capsys):
    copy = tmp_path / "copy.zip"
    await command("backup", copy)

    assert await command("restore", copy) == 1
    assert "--replace" in capsys.readouterr().err
    assert await command("restore", copy, "--replace") == 0
