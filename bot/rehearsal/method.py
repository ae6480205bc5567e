"""What a method of the Bot API is to the rehearsal: a shape of parameters and what it does."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final, Generic, TypeVar

from pydantic import ValidationError

from bot.rehearsal.errors import Refused, bad_request
from bot.rehearsal.room import Room
from bot.rehearsal.shapes import Shape

S = TypeVar("S", bound=Shape)

# Bot API server: its own words when one of these is missing.
_MISSING: Final[Mapping[str, str]] = {
    "text": "message text is empty",
    "chat_id": "chat_id is empty",
    "message_id": "message identifier is not specified",
    "photo": "there is no photo in the request",
    "document": "there is no document in the request",
    "voice": "there is no voice in the request",
    "user_id": "user_id is empty",
    "file_id": "file_id not specified",
}


class Nothing(Shape):
    """No parameters."""


@dataclass(frozen=True, slots=True)
class Method(Generic[S]):
    """One method.

    Args:
        shape: Its parameters, with the names the platform gives them.
        carry_out: Gives the `result` as JSON values; raises Refused.
    """

    name: str
    shape: type[S]
    carry_out: Callable[[Room, S], Any | Awaitable[Any]]

    def read(self, arguments: Mapping[str, object]) -> S:
        """Check what came in.

        Raises:
            Refused: 400 that names the first parameter missing, unknown or of a wrong type.
        """
        try:
            return self.shape.model_validate(dict(arguments))
        except ValidationError as exc:
            raise self._refusal(exc) from exc

    def _refusal(self, exc: ValidationError) -> Refused:
        first = exc.errors(include_url=False, include_context=False)[0]
        where = ".".join(str(part) for part in first["loc"])
        if first["type"] == "missing" and where in _MISSING:
            return bad_request(_MISSING[where])
        if first["type"] == "missing":
            return bad_request(f"parameter {where} of {self.name} is required")
        if first["type"] == "extra_forbidden":
            known = ", ".join(self.shape.model_fields) or "none"
            return bad_request(
                f"{self.name} has no parameter {where} here; known parameters: {known}"
            )
        return bad_request(f"parameter {where} of {self.name}: {first['msg']}")


def by_name(*methods: Method[Any]) -> dict[str, Method[Any]]:
    """Index methods by name in small letters: the platform ignores letter case there."""
    return {method.name.lower(): method for method in methods}
