import socket

import httpx
import pytest

from bot.rehearsal.live import Live
from bot.rehearsal.page import build_server
from bot.rehearsal.serving import serve
from tests.rehearsal.conftest import a_client


async def test_taken_port_is_an_error(scene):
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = other.getsockname()[1]

        with pytest.raises(OSError, match="in use"):
            async with serve(build_server(scene.room), port=port):
                pytest.fail("served on a taken port")


async def test_error_inside_the_block_closes_the_server(scene):
    with pytest.raises(ZeroDivisionError):
        async with serve(build_server(scene.room)) as url:
            raise ZeroDivisionError

    async with a_client() as client:
        with pytest.raises(httpx.ConnectError):
            await client.get(url)


def test_onlooker_who_falls_behind_is_sent_away():
    live = Live()

    with live.subscribe() as slow, live.subscribe() as quick:
        for number in range(2001):
            live.tell("clock", number=number)
            assert quick.get_nowait() == {"kind": "clock", "number": number}
        live.tell("clock")

    backlog = [slow.get_nowait() for _ in range(slow.qsize())]
    assert (len(backlog), backlog[-1]) == (2002, None)
