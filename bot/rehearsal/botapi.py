"""The Bot API over HTTP: who calls, which method, what came of it.

The one deliberate difference from the platform: a parameter nobody here knows is an error.
"""

from __future__ import annotations

import hmac
import inspect
from collections.abc import Mapping
from typing import Any, Final

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route
from starlette.types import Receive, Scope, Send

from bot.rehearsal import asking, changing, profile, receiving, sending
from bot.rehearsal.arguments import read_arguments
from bot.rehearsal.errors import Refused
from bot.rehearsal.faults import Fault, FaultKind
from bot.rehearsal.method import Method
from bot.rehearsal.room import Room
from bot.rehearsal.shapes import Shape
from bot.rehearsal.stage import Call

METHODS: Final[Mapping[str, Method[Any]]] = {
    **receiving.METHODS,
    **sending.METHODS,
    **changing.METHODS,
    **asking.METHODS,
    **profile.METHODS,
}


def bot_api_routes(room: Room) -> list[Route]:
    """Give the routes `/bot<token>/<method>` and `/file/bot<token>/<path>` of a room's bot."""

    async def call(request: Request) -> Response:
        try:
            return await _call(room, request)
        except Refused as exc:
            return _refusal(exc.status, exc.description, exc.parameters)

    async def download(request: Request) -> Response:
        if not _is_our_token(room, request):
            return _refusal(401, "Unauthorized", {})
        stored = room.files.by_path(request.path_params["path"])
        if stored is None:
            return _refusal(404, "Not Found", {})
        return Response(stored.upload.data, media_type="application/octet-stream")

    return [
        Route("/bot{token}/{method}", call, methods=["GET", "POST"]),
        Route("/file/bot{token}/{path:path}", download, methods=["GET"]),
    ]


async def _call(room: Room, request: Request) -> Response:
    if not _is_our_token(room, request):
        raise Refused(401, "Unauthorized")
    if room.is_logged_out:
        raise Refused(400, "Logged out")
    method = METHODS.get(request.path_params["method"].lower())
    if method is None:
        raise Refused(404, "Not Found: method not found")
    arguments = await read_arguments(request)
    wish = _read_and_note(room, method, arguments)
    fault = room.faults.take(method.name)
    if fault is None or fault.carried_out:
        result = method.carry_out(room, wish)
        if inspect.isawaitable(result):
            result = await result
    if fault is not None:
        return _failure(fault)
    return JSONResponse({"ok": True, "result": result})


def _read_and_note(room: Room, method: Method[Any], arguments: dict[str, object]) -> Shape:
    """Check the parameters and keep the call: values as read, or raw when they were refused."""
    noted: dict[str, Any] = arguments
    try:
        wish = method.read(arguments)
        noted = wish.model_dump(exclude_unset=True)
    finally:
        if method.name != "getUpdates":  # it comes all the time and would bury the rest
            room.calls.append(Call(method.name, noted))
    return wish  # type: ignore[no-any-return]  # Method[Any] in the table


def _is_our_token(room: Room, request: Request) -> bool:
    return hmac.compare_digest(request.path_params["token"].encode(), room.token.encode())


def _refusal(status: int, description: str, parameters: Mapping[str, Any]) -> Response:
    body: dict[str, Any] = {"ok": False, "error_code": status, "description": description}
    if parameters:
        body["parameters"] = dict(parameters)
    return JSONResponse(body, status_code=status)


def _failure(fault: Fault) -> Response:
    match fault.kind:
        case FaultKind.REFUSED:
            return _refusal(fault.status, fault.description, fault.parameters)
        case FaultKind.GARBLED:
            return Response(b"<html>upstream sent no valid answer</html>", media_type="text/html")
        case FaultKind.DROPPED:
            return _Broken()


class _Broken(Response):
    """Promises a body and breaks off, upon which the server closes the connection."""

    async def __call__(self, _scope: Scope, _receive: Receive, send: Send) -> None:
        headers = [(b"content-length", b"1000"), (b"content-type", b"application/json")]
        await send({"type": "http.response.start", "status": 200, "headers": headers})
        await send({"type": "http.response.body", "body": b'{"ok":', "more_body": True})
