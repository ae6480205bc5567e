"""What can go wrong in a rehearsal.

RehearsalError
├── Refused       the platform turns a call of the bot down
└── NotPossible   a pretend person tried what the room does not offer
"""

from __future__ import annotations

from collections.abc import Mapping


class RehearsalError(Exception):
    """Something in the rehearsal did not work out."""


class Refused(RehearsalError):
    """The platform turns a call of the bot down, in the words the real one uses.

    Args:
        status: HTTP status and `error_code` alike.
        description: Without the leading "Bad Request: " and its kin; that is added from `status`.
        parameters: `retry_after` or `migrate_to_chat_id`, when they help.
    """

    _PREFIX: Mapping[int, str] = {
        400: "Bad Request: ",
        403: "Forbidden: ",
        409: "Conflict: ",
        429: "Too Many Requests: ",
    }

    def __init__(
        self, status: int, description: str, *, parameters: Mapping[str, int] | None = None
    ) -> None:
        self.status = status
        self.description = self._PREFIX.get(status, "") + description
        self.parameters = dict(parameters or {})
        super().__init__(f"{status} {self.description}")


class NotPossible(RehearsalError):
    """A pretend person tried what the room does not offer, such as a button that is not there."""

    def __init__(self, what: str) -> None:
        self.what = what
        super().__init__(what)


def bad_request(description: str) -> Refused:
    """Build the most common refusal."""
    return Refused(400, description)
