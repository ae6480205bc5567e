"""Serve the rehearsal on this machine, in the running event loop."""

from __future__ import annotations

import asyncio
import contextlib
import socket
from collections.abc import AsyncIterator, Iterator

import uvicorn
from starlette.applications import Starlette

_GRACE_S = 5  # for answers under way when the server closes; waiting polls end at once


@contextlib.asynccontextmanager
async def serve(app: Starlette, *, host: str = "127.0.0.1", port: int = 0) -> AsyncIterator[str]:
    """Run the server for the length of the block.

    Args:
        app: From `build_server`; its open streams and long polls are ended on the way out.
        host: An address of this machine.
        port: 0 takes a free one.

    Yields:
        The base URL without a slash at the end, such as `http://127.0.0.1:8123`.

    Raises:
        OSError: The port is taken.
    """
    config = uvicorn.Config(
        app,
        http="h11",
        ws="none",
        lifespan="on",
        log_config=None,
        log_level="warning",
        access_log=False,  # its lines would hold the token
        timeout_graceful_shutdown=_GRACE_S,
    )
    listener = _listen(host, port)
    server = _Server(config)
    app.state.room.pick_up()
    running = asyncio.create_task(server.serve(sockets=[listener]))
    try:
        await server.until_ready(running)
        shown = f"[{host}]" if ":" in host else host
        yield f"http://{shown}:{listener.getsockname()[1]}"
    finally:
        app.state.room.hang_up()
        server.leave()
        await running


class _Server(uvicorn.Server):
    """A server that tells when it is ready, leaves at once, and lets signals be."""

    def __init__(self, config: uvicorn.Config) -> None:
        super().__init__(config)
        self._ready = asyncio.Event()
        self._leaving = asyncio.Event()

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets=sockets)
        self._ready.set()

    async def until_ready(self, running: asyncio.Task[None]) -> None:
        """Wait until connections are taken; a failed start raises what it failed with."""
        ready = asyncio.create_task(self._ready.wait())
        await asyncio.wait({ready, running}, return_when=asyncio.FIRST_COMPLETED)
        if not ready.done():
            ready.cancel()
            await running

    def leave(self) -> None:
        """Ask it to close."""
        self.should_exit = True
        self._leaving.set()

    async def main_loop(self) -> None:
        """Wait for the end instead of looking for it ten times a second."""
        while not await self.on_tick(0):
            with contextlib.suppress(TimeoutError):
                async with asyncio.timeout(1):
                    await self._leaving.wait()

    @contextlib.contextmanager
    def capture_signals(self) -> Iterator[None]:
        """Leave signals to the program around it."""
        yield


def _listen(host: str, port: int) -> socket.socket:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    # With the protocol named, asyncio sends small answers at once; unnamed, each waits 40 ms.
    listener = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((host, port))
    except OSError:
        listener.close()
        raise
    listener.setblocking(False)  # noqa: FBT003 - positional only
    return listener
