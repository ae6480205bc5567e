"""Answer a request for a part of a file: a player asks for the end to learn the length."""

from __future__ import annotations

import re
from collections.abc import Mapping

from starlette.responses import Response

_ONE_RANGE = re.compile(r"bytes=(\d{0,12})-(\d{0,12})")


def part_of(
    data: bytes, wanted: str | None, *, media_type: str, headers: Mapping[str, str]
) -> Response:
    """Give all of a file, or the one range of it that was asked for.

    Args:
        data: The file.
        wanted: The header Range; several ranges, other units and nonsense get the whole.
        media_type: Of the file.
        headers: Sent with it.

    Source: RFC 9110, sections 14.1.2 (byte ranges), 14.2 (Range), 15.3.7 and 15.5.17 (206, 416).
    """
    said = {**headers, "Accept-Ranges": "bytes"}
    found = _ONE_RANGE.fullmatch(wanted or "")
    if found is None or found[0] == "bytes=-":
        return Response(data, media_type=media_type, headers=said)
    size = len(data)
    if found[1]:
        first, last = int(found[1]), min(int(found[2] or size - 1), size - 1)
    else:
        first, last = max(0, size - int(found[2])), size - 1
    if first > last:
        said["Content-Range"] = f"bytes */{size}"
        return Response(status_code=416, headers=said)
    said["Content-Range"] = f"bytes {first}-{last}/{size}"
    return Response(data[first : last + 1], 206, media_type=media_type, headers=said)
