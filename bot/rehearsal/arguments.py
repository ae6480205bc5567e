"""What a call carries: query, form, multipart or JSON, read into one mapping by name."""

from __future__ import annotations

from starlette.datastructures import FormData, UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request

from bot.rehearsal.errors import Refused, bad_request
from bot.rehearsal.files import DOCUMENT_LIMIT_BYTES, Upload

Arguments = dict[str, object]

_FORMS = ("application/x-www-form-urlencoded", "multipart/form-data")
_ATTACHED = "attach://"


async def read_arguments(request: Request) -> Arguments:
    """Read all parameters of a call.

    Returns:
        Text for what came in a query or form, JSON values from a JSON body, Upload for files. A
        parameter that says `attach://name` gets the file of that name.

    Raises:
        Refused: 400 for a body that cannot be read, 413 for a file over 50 MB.
    """
    arguments: Arguments = dict(request.query_params)
    content_type = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if content_type in _FORMS:
        arguments.update(await _read_form(request))
    elif content_type == "application/json":
        arguments.update(await _read_json(request))
    elif await request.body():
        raise bad_request(f"unsupported content type {content_type!r}")
    return _with_attachments(arguments)


async def _read_form(request: Request) -> Arguments:
    try:
        form: FormData = await request.form(max_files=10, max_part_size=DOCUMENT_LIMIT_BYTES)
    except HTTPException as exc:
        raise bad_request(f"can't parse the form: {exc.detail}") from exc
    arguments: Arguments = {}
    try:
        for name, value in form.multi_items():
            arguments[name] = await _upload(value) if isinstance(value, UploadFile) else value
    finally:
        await form.close()
    return arguments


async def _upload(file: UploadFile) -> Upload:
    if (file.size or 0) > DOCUMENT_LIMIT_BYTES:
        raise Refused(413, "Request Entity Too Large")
    mime_type = file.content_type or "application/octet-stream"
    return Upload(file.filename or "file", await file.read(), mime_type)


async def _read_json(request: Request) -> Arguments:
    try:
        body = await request.json()
    except ValueError as exc:
        raise bad_request("can't parse the JSON body") from exc
    if not isinstance(body, dict):
        raise bad_request("the JSON body must be an object")
    return body


def _with_attachments(arguments: Arguments) -> Arguments:
    used: set[str] = set()
    result: Arguments = {}
    for name, value in arguments.items():
        if isinstance(value, str) and value.startswith(_ATTACHED):
            attached = value.removeprefix(_ATTACHED)
            if not isinstance(arguments.get(attached), Upload):
                raise bad_request(f"{name} points to {value}, but no such file came along")
            used.add(attached)
            result[name] = arguments[attached]
        else:
            result[name] = value
    return {name: value for name, value in result.items() if name not in used}
