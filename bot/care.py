"""Commands that keep what was recorded: a copy of the database and back, tables of results."""

from __future__ import annotations

import argparse
import asyncio
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bot.config import Place
from bot.result_table import HISTORY, RESULTS, Cell, history_rows, result_rows

if TYPE_CHECKING:
    from store.archive import Manifest
    from store.backup import Restored
    from store.values import Challenge

_OK = 0

Cells = tuple[Cell, ...]


class NoSuchChallengeHere(Exception):
    """No challenge in the database is the one asked for."""

    def __init__(self, wanted: str, known: Sequence[str]) -> None:
        self.wanted = wanted
        self.known = tuple(known)
        there = "; there are: " + ", ".join(known) if known else "; there is none at all"
        super().__init__(f"no challenge {wanted!r}{there}")


def add_commands(commands: Any) -> None:
    """Add the commands to the parser's."""
    backup = commands.add_parser(
        "backup",
        help="copy the database of RUNGBELL_DATABASE_URL into a file, while the bot runs",
    )
    backup.add_argument("file", type=Path, help="the archive, e.g. rungbell.zip")
    backup.set_defaults(act=_backup)
    restore = commands.add_parser(
        "restore", help="bring a copy back, into the same or another kind of database"
    )
    restore.add_argument("file", type=Path, help="an archive that `backup` made")
    restore.add_argument("--into", metavar="URL", help="instead of RUNGBELL_DATABASE_URL")
    restore.add_argument("--replace", action="store_true", help="lose what is in the database now")
    restore.set_defaults(act=_restore)
    export = commands.add_parser("export", help="write everything recorded as a table")
    export.add_argument(
        "--results", type=Path, required=True, metavar="FILE", help="ends in .csv or .xlsx"
    )
    export.add_argument(
        "--challenge",
        metavar="WHICH",
        help="its title, or its group's title, or CHAT/NUMBER (--challenge=-1001234/2)",
    )
    export.set_defaults(act=_export)


def _backup(options: argparse.Namespace) -> int:
    from store.backup import back_up  # noqa: PLC0415 - keeps other commands quick to start

    manifest = asyncio.run(back_up(Place().database_url, options.file, now=_now()))
    return _say(f"{options.file}: {_sum_up(manifest)}")


def _restore(options: argparse.Namespace) -> int:
    restored = asyncio.run(
        _bring_back(options.file, options.into or Place().database_url, options)
    )
    return _say(
        f"{options.file}: {_sum_up(restored.manifest)}, all of them restored.",
        "Posts that fell due since the copy was made are not sent by themselves; "
        "at the next start the organisers are asked whether they are there.",
    )


async def _bring_back(file: Path, url: str, options: argparse.Namespace) -> Restored:
    from store.backup import restore  # noqa: PLC0415
    from store.engine import Database  # noqa: PLC0415
    from store.posts import doubt  # noqa: PLC0415

    restored = await restore(file, url, replace=options.replace)
    database = Database(url)
    try:
        async with database.work() as session:
            await doubt(session, since=restored.manifest.made_at, now=_now())
            await session.commit()
    finally:
        await database.close()
    return restored


def _export(options: argparse.Namespace) -> int:
    from bot.spreadsheet import check_name, write_tables  # noqa: PLC0415

    check_name(options.results)
    results, history = asyncio.run(_tables(Place().database_url, options.challenge))
    tables = {"results": (RESULTS, results), "history": (HISTORY, history)}
    write_tables(options.results, tables)
    return _say(f"{options.results}: {len(results)} results, {len(history)} lines of history")


async def _tables(url: str, wanted: str | None) -> tuple[list[Cells], list[Cells]]:
    from store.engine import Database  # noqa: PLC0415
    from store.migrate import migrate  # noqa: PLC0415
    from store.recorded import all_challenges, everything_recorded  # noqa: PLC0415

    await migrate(url)
    database = Database(url)
    results: list[Cells] = []
    history: list[Cells] = []
    try:
        async with database.reading() as session:
            for challenge, group in _chosen(await all_challenges(session), wanted):
                recorded = await everything_recorded(session, challenge)
                results.extend(result_rows(challenge, group, recorded))
                history.extend(history_rows(challenge, group, recorded))
    finally:
        await database.close()
    return results, history


def _chosen(
    known: Sequence[tuple[Challenge, str]], wanted: str | None
) -> Sequence[tuple[Challenge, str]]:
    """Give the challenges meant; all without a wish."""
    if wanted is None:
        return known
    sought = wanted.strip().casefold()
    found = [
        (each, group)
        for each, group in known
        if sought in {each.title.casefold(), group.casefold(), _key(each)}
    ]
    if not found:
        raise NoSuchChallengeHere(wanted, [f"{_key(c)} {c.title} ({g})" for c, g in known])
    return found


def _key(challenge: Challenge) -> str:
    return f"{challenge.chat_id}/{challenge.challenge_id}"


def _sum_up(manifest: Manifest) -> str:
    rows = sum(table.rows for table in manifest.tables.values())
    made_at = manifest.made_at.astimezone(UTC)
    return f"{rows} rows of {len(manifest.tables)} tables as of {made_at:%Y-%m-%d %H:%M} UTC"


def _say(*lines: str, write: Callable[[str], None] = print) -> int:
    for line in lines:
        write(line)
    return _OK


def _now() -> datetime:
    return datetime.now(UTC)
