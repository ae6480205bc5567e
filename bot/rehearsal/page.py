"""The chat page in front of a room, and the server that has both page and Bot API."""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import AsyncIterator, Awaitable, Callable
from importlib.resources import files
from typing import Final

from pydantic import ValidationError
from sse_starlette import EventSourceResponse, JSONServerSentEvent
from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from bot.rehearsal import view
from bot.rehearsal.botapi import bot_api_routes
from bot.rehearsal.doing import ACTIONS
from bot.rehearsal.errors import RehearsalError
from bot.rehearsal.files import Kind
from bot.rehearsal.live import News
from bot.rehearsal.people import Json
from bot.rehearsal.profile import menu_for
from bot.rehearsal.ranges import part_of
from bot.rehearsal.receiving import LOOPBACK, deliver_to_webhook
from bot.rehearsal.room import Room
from bot.rehearsal.timing import ClockHand, PlannedPosts

_MEDIA_TYPES: Final = {"html": "text/html", "css": "text/css", "js": "text/javascript"}
_FILES: Final = ("index.html", "style.css", "page.js", "words.js")
_SAFETY: Final = {
    "Content-Security-Policy": "default-src 'none'; style-src 'self'; script-src 'self'; "
    "img-src 'self' data:; media-src 'self'; connect-src 'self'; form-action 'none'; "
    "base-uri 'none'; frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cache-Control": "no-store",
}


def build_server(
    room: Room,
    *,
    moved: Callable[[], Awaitable[None]] | None = None,
    posts: PlannedPosts | None = None,
) -> Starlette:
    """Put the Bot API and the page of a room into one application, for `serve`.

    Args:
        room: Its clock is the one that the page moves.
        moved: Awaited after each move of the clock, so that the bot can do what has fallen due.
        posts: Gives planned posts, each with `due_at` (aware datetime or ISO 8601), `local`
            (shown as it is), `title` and `state`; one with the state "planned" is a stop for the
            clock.
    """
    page = _Page(room, ClockHand(room.clock, zone=room.zone, moved=moved, posts=posts), posts)
    routes = [
        Route("/", page.index),
        Route("/page/{name}", page.static),
        Route("/picture/{file_id}", page.picture),
        Route("/live", page.live),
        Route("/menu", page.menu),
        Route("/do/{what}", page.do, methods=["POST"]),
        *bot_api_routes(room),
    ]

    @contextlib.asynccontextmanager
    async def lifespan(_: Starlette) -> AsyncIterator[None]:
        delivery = asyncio.create_task(deliver_to_webhook(room))
        yield
        delivery.cancel()
        with contextlib.suppress(asyncio.CancelledError):
            await delivery

    # Only names of this machine: a foreign page whose name resolves to it gets nothing.
    trusted = Middleware(
        TrustedHostMiddleware, allowed_hosts=[*LOOPBACK, "[::1]"], www_redirect=False
    )
    app = Starlette(routes=routes, middleware=[trusted], lifespan=lifespan)
    app.state.room = room
    return app


class _Page:
    def __init__(self, room: Room, hand: ClockHand, posts: PlannedPosts | None) -> None:
        self._room = room
        self._hand = hand
        self._posts = posts

    async def index(self, _: Request) -> Response:
        return _file("index.html")

    async def static(self, request: Request) -> Response:
        name = request.path_params["name"]
        return _file(name) if name in _FILES else Response("Not found", 404)

    async def picture(self, request: Request) -> Response:
        """Show a picture, play a sound, or hand out any other file: that may hold anything."""
        try:
            stored = self._room.files.by_id(request.path_params["file_id"])
        except RehearsalError:
            return Response("Not found", 404)
        if stored.is_photo:
            media_type = "image/png" if stored.path.endswith("png") else "image/jpeg"
            return Response(stored.upload.data, media_type=media_type, headers=_SAFETY)
        if stored.kind is Kind.VOICE:
            wanted = request.headers.get("range")
            return part_of(stored.upload.data, wanted, media_type="audio/ogg", headers=_SAFETY)
        headers = {**_SAFETY, "Content-Disposition": "attachment"}
        return Response(stored.upload.data, media_type="application/octet-stream", headers=headers)

    async def live(self, _: Request) -> Response:
        return EventSourceResponse(self._events(), headers=_SAFETY)

    async def menu(self, request: Request) -> Response:
        """Give the commands that a person is offered in a chat."""
        try:
            person = self._room.people[int(request.query_params["person_id"])]
            chat = self._room.chats[int(request.query_params["chat_id"])]
        except (KeyError, ValueError):
            return JSONResponse({"error": "no such person or chat"}, 404)
        return JSONResponse(menu_for(self._room, person, chat))

    async def do(self, request: Request) -> Response:
        """Carry out an action; JSON only, which a foreign page cannot send without being asked."""
        action = ACTIONS.get(request.path_params["what"])
        if action is None:
            return JSONResponse({"error": "no such action"}, 404)
        content_type = request.headers.get("content-type", "").partition(";")[0].strip()
        if content_type != "application/json":
            return JSONResponse({"error": "application/json is needed"}, 415)
        try:
            wish = action.shape.model_validate_json(await request.body())
            result = await action.carry_out(self._room, self._hand, wish)
        except ValidationError as exc:
            first = exc.errors(include_url=False, include_context=False)[0]
            where = ".".join(str(part) for part in first["loc"])
            return JSONResponse({"error": f"{where}: {first['msg']}"}, 400)
        except RehearsalError as exc:
            return JSONResponse({"error": str(exc)}, 409)
        finally:
            self._room.live.tell("clock")
        return JSONResponse(result)

    async def _events(self) -> AsyncIterator[JSONServerSentEvent]:
        """Send the whole room first, then what is new, until the server closes."""
        with self._room.live.subscribe() as news:
            planned = await view.posts_view(self._posts)
            yield _event({"kind": "all", **view.all_of(self._room), "posts": planned})
            while (piece := await news.get()) is not None:
                shown = self._shown(piece)
                if shown is not None:
                    yield _event(shown)
                if news.empty() and self._posts is not None:
                    now_planned = await view.posts_view(self._posts)
                    if now_planned != planned:
                        planned = now_planned
                        yield _event({"kind": "posts", "posts": planned})

    def _shown(self, piece: News) -> Json | None:
        """Fill a piece of news with what there is to show by now; None when that is gone again."""
        room = self._room
        match piece["kind"]:
            case "message":
                chat = room.chats[piece["chat_id"]]
                if piece["message_id"] not in chat.talk.messages:
                    return None
                return {**piece, **view.message_view(room, chat, piece["message_id"])}
            case "clock":
                return {**piece, **view.clock_view(room)}
            case "who":
                return {**piece, **view.who_view(room)}
            case _:
                return piece


def _event(content: Json) -> JSONServerSentEvent:
    return JSONServerSentEvent(content)


def _file(name: str) -> Response:
    content = files("bot.rehearsal").joinpath("page", name).read_bytes()
    media_type = _MEDIA_TYPES[name.rpartition(".")[2]]
    return Response(content, media_type=media_type, headers=_SAFETY)
