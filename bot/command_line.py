"""The command line: rehearse, run, review, jot, propose, read; `bot.care` keeps data safe."""

from __future__ import annotations

import argparse
import asyncio
import errno
import io
import json
import logging
import signal
import sys
from collections import defaultdict
from collections.abc import Coroutine, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pydantic import BaseModel, ValidationError
from telegram.error import TelegramError

from bot import care
from bot.config import ConfigInvalid, load_config
from bot.draft_text import tell_unfit
from bot.fetching import TokenRefused
from bot.jot_command import add_jot, divisions_of
from bot.propose_command import add_propose
from bot.reading.reader import Reader, Scene
from bot.reading.values import reading_to_json
from bot.spreadsheet import NotATable
from bot.wording import Wording
from content.bundle import read_bundle
from content.challenge import Challenge, RestDay, WorkoutDay
from content.errors import ContentInvalid, FileRefused
from content.loading import DEMO, load_challenge, load_day
from content.words import languages
from store.errors import StoreError

if TYPE_CHECKING:
    from content.review.outlook import Outlook

_DEFAULT_PORT = 8323
_OK, _WRONG = 0, 1


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit status."""
    options = _parser().parse_args(arguments)
    try:
        status: int = options.act(options)
    except ContentInvalid as error:
        return _complain(*(str(problem) for problem in error.problems))
    except FileRefused as error:
        return _complain(str(tell_unfit(Wording(), error).unescape()))
    except ConfigInvalid as error:
        return _complain(*(f"{name}: {text}" for name, text in error.problems.items()))
    except (StoreError, TokenRefused, NotATable, care.NoSuchChallengeHere) as error:
        return _complain(str(error))
    except OSError as error:
        hint = "; choose another with --port" if error.errno == errno.EADDRINUSE else ""
        where = f"{error.filename}: " if error.filename else ""
        return _complain(f"{where}{error.strerror or error}{hint}")
    except TelegramError as error:
        return _complain(f"the platform could not be reached: {error.message}")
    except KeyboardInterrupt:
        return _OK
    return status


def _complain(*lines: str) -> int:
    for line in lines:
        print(line, file=sys.stderr)
    return _WRONG


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="rungbell", description="A chat bot for a fitness challenge of several days."
    )
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    rehearse = commands.add_parser("rehearse", help="try it on a local chat page; needs no token")
    rehearse.add_argument("challenge", nargs="?", type=Path, help="a challenge folder")
    rehearse.add_argument("--port", type=int, default=_DEFAULT_PORT, help="of the chat page")
    rehearse.set_defaults(act=_rehearse)
    run = commands.add_parser("run", help="connect to Telegram; RUNGBELL_TOKEN holds the token")
    run.set_defaults(act=_run)
    review = commands.add_parser(
        "review",
        help="check a challenge folder, then look at it as a coach would",
        epilog="The exit status is 1 if there are errors or findings that must be fixed.",
    )
    review.add_argument("path", type=Path)
    review.add_argument("--json", action="store_true", help="for programs; README has the keys")
    review.add_argument("--pictures", type=Path, metavar="FOLDER", help="a PNG for each day")
    review.set_defaults(act=_review)
    add_jot(commands)
    add_propose(commands)
    read = commands.add_parser("read", help="JSON lines in, one reading per line out")
    read.add_argument("--day", type=Path, required=True, help="the day file to read against")
    read.add_argument("--division", help="unless a line names its own")
    read.set_defaults(act=_read)
    care.add_commands(commands)
    return parser


def _rehearse(options: argparse.Namespace) -> int:
    # Only here: the page and its server are not needed to run against the platform.
    from bot.rehearsal.start import rehearse  # noqa: PLC0415

    content = load_challenge(options.challenge or DEMO)
    _log("WARNING")

    def announce(url: str) -> None:
        print(f"The rehearsal of “{content.head.title}” is open: {url}")
        print("Speak as anyone, press buttons, move the clock. Ctrl+C ends it; nothing is kept.")
        sys.stdout.flush()

    return _until_stopped(rehearse(content, port=options.port, announce=announce))


def _run(options: argparse.Namespace) -> int:
    del options
    config = load_config()
    content = load_challenge(config.challenge or DEMO)
    _log(config.log_level)

    async def work() -> None:
        from bot.app import Rungbell  # noqa: PLC0415 - keeps `read` and `review` quick to start
        from store.engine import Database  # noqa: PLC0415
        from store.migrate import migrate  # noqa: PLC0415

        await migrate(config.database_url)
        database = Database(config.database_url)
        try:
            rungbell = Rungbell(
                token=config.token.get_secret_value(),
                api_url=config.api_url,
                database=database,
                content=content,
            )
            try:
                await rungbell.start()
                await rungbell.run()
            finally:
                await rungbell.stop()
        finally:
            await database.close()

    return _until_stopped(work())


def _until_stopped(work: Coroutine[Any, Any, None]) -> int:
    """Run until done, or until the process is asked to end; then let it finish what it began."""

    async def supervise() -> None:
        task = asyncio.ensure_future(work)
        loop = asyncio.get_running_loop()
        for asked in (signal.SIGINT, signal.SIGTERM):
            loop.add_signal_handler(asked, task.cancel)
        try:
            await task
        except asyncio.CancelledError:
            if not task.cancelled():
                raise

    asyncio.run(supervise())
    return _OK


def _log(level: str) -> None:
    logging.basicConfig(level=level, format="%(asctime)s %(levelname)s %(name)s: %(message)s")
    # Request lines hold the token, and the libraries' own lines hold what people write.
    for name in ("httpx", "httpcore", "telegram", "aiosqlite", "apscheduler"):
        logging.getLogger(name).setLevel(logging.WARNING)


def _review(options: argparse.Namespace) -> int:
    if options.path.is_file():
        if options.path.suffix.lower() != ".zip":
            return _complain(f"{options.path}: a challenge is a folder or a zip of one")
        content = read_bundle(options.path.read_bytes()).content
    else:
        content = load_challenge(options.path)
    # Only here: numpy and the pictures' library take longer to load than everything else.
    from bot.review_json import review_to_json  # noqa: PLC0415
    from bot.review_text import review_text  # noqa: PLC0415
    from content.review.review import review  # noqa: PLC0415

    found = review(content)
    if options.json:
        _say(json.dumps(review_to_json(found), ensure_ascii=False, indent=2))
    else:
        _say(f"{_summary(content)}\n\n{review_text(found)}")
    if options.pictures is not None:
        _draw(found.outlook, options.pictures)
    return _WRONG if found.must_be_fixed else _OK


def _draw(outlook: Outlook, folder: Path) -> None:
    from bot.pictures.review_picture import pictures  # noqa: PLC0415

    folder.mkdir(parents=True, exist_ok=True)
    for name, picture in pictures(outlook):
        (folder / name).write_bytes(picture)


def _say(text: str) -> None:
    """Print text whose signs a terminal of another encoding may not have."""
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="replace")
    print(text)


def _summary(content: Challenge) -> str:
    workouts = sum(isinstance(day, WorkoutDay) for day in content.days)
    divisions = ", ".join(division.name for division in content.head.divisions)
    return (
        f"{content.head.title}: no errors. {len(content.days)} days, {workouts} of them with a "
        f"workout; divisions: {divisions}; {len(content.movements)} movements."
    )


def _read(options: argparse.Namespace) -> int:
    day, head, library = load_day(options.day)
    divisions = divisions_of(day, head)
    known = [division.id for division in divisions]
    if options.division is not None and options.division not in known:
        return _complain(f"no division {options.division!r}; there are: {', '.join(known)}")
    reader = Reader(movements=library, divisions=divisions)
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(encoding="utf-8")  # JSON is UTF-8, whatever the locale
    # The only day there is stands for every day a text may name.
    days: defaultdict[int, WorkoutDay | RestDay] = defaultdict(lambda: day)
    status = _OK
    for number, line in enumerate(sys.stdin, start=1):
        if not line.strip():
            continue
        try:
            asked = _Asked.model_validate_json(line)
        except ValidationError as error:
            first = error.errors()[0]
            where = ".".join(str(part) for part in first["loc"])
            status = _complain(f"line {number}: {where}: {first['msg']}".replace(": :", ":"))
            continue
        division = asked.division or options.division or known[0]
        if division not in known:
            status = _complain(f"line {number}: no division {division!r}")
            continue
        if asked.language is not None and asked.language not in languages():
            spoken = ", ".join(languages())
            status = _complain(
                f"line {number}: no language {asked.language!r}; there are: {spoken}"
            )
            continue
        scene = Scene(1, days, division, language=asked.language)
        reading = reader.read(asked.text, scene)
        print(json.dumps(reading_to_json(reading), ensure_ascii=False))
    return status


class _Asked(BaseModel):
    """One line of `read`."""

    text: str
    division: str | None = None
    language: str | None = None
