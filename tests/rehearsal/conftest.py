"""A room with a coach, a player and a group, served over HTTP, and the real bot library on it."""

from collections.abc import AsyncIterator
from dataclasses import dataclass
from datetime import UTC, datetime

import httpx
import pytest
import telegram
from telegram.request import HTTPXRequest

from bot.rehearsal.clock import MovableClock
from bot.rehearsal.page import build_server
from bot.rehearsal.people import Group, Person
from bot.rehearsal.room import Room
from bot.rehearsal.serving import serve

MONDAY_SIX = datetime(2026, 5, 4, 6, 0, tzinfo=UTC)


@dataclass(frozen=True)
class Scene:
    """Who and where, for tests to name."""

    room: Room
    clock: MovableClock
    coach: Person
    player: Person
    group: Group


@pytest.fixture
def scene() -> Scene:
    clock = MovableClock(MONDAY_SIX)
    room = Room(clock, zone="Europe/Lisbon")
    coach = room.add_person("Ines", language_code="en", username="ines_coach")
    player = room.add_person("Tobias", language_code="de")
    group = room.add_group("Quayside Movers")
    room.put_in_group(coach, group, "creator")
    room.put_in_group(player, group)
    return Scene(room, clock, coach, player, group)


@pytest.fixture
async def url(scene: Scene) -> AsyncIterator[str]:
    async with serve(build_server(scene.room)) as base_url:
        yield base_url


@pytest.fixture
async def bot(scene: Scene, url: str) -> AsyncIterator[telegram.Bot]:
    # As in `a_client`: no certificates.
    requests = [HTTPXRequest(httpx_kwargs={"verify": False, "trust_env": False}) for _ in "ab"]
    async with telegram.Bot(
        scene.room.token,
        base_url=f"{url}/bot",
        base_file_url=f"{url}/file/bot",
        request=requests[0],
        get_updates_request=requests[1],
    ) as bot:
        yield bot


@pytest.fixture
async def web(url: str) -> AsyncIterator[httpx.AsyncClient]:
    async with a_client(url) as client:
        yield client


def a_client(url: str = "") -> httpx.AsyncClient:
    return httpx.AsyncClient(
        base_url=url,
        trust_env=False,
        verify=False,  # noqa: S501 - plain HTTP on loopback; loading certificates takes longer
    )
