"""The platform's limits on sending, for a rehearsal that wants to run into them."""

from __future__ import annotations

from collections import defaultdict, deque
from datetime import datetime, timedelta
from math import ceil
from typing import Final

from bot.rehearsal.errors import Refused

# Bot FAQ, "My bot is hitting limits": 20 messages a minute to one group, about 30 a second in all.
PER_GROUP: Final = (20, timedelta(minutes=1))
OVERALL: Final = (30, timedelta(seconds=1))


class SendingLimits:
    """What was sent of late, overall and to each group."""

    def __init__(self) -> None:
        self._overall: deque[datetime] = deque()
        self._groups: defaultdict[int, deque[datetime]] = defaultdict(deque)

    def count(self, group_id: int | None, *, now: datetime) -> None:
        """Count one message, to a group or (None) to a person.

        Raises:
            Refused: 429 with `retry_after` in whole seconds; the message is not counted.
        """
        windows = [(self._overall, *OVERALL)]
        if group_id is not None:
            windows.append((self._groups[group_id], *PER_GROUP))
        for sent, most, span in windows:
            while sent and sent[0] + span <= now:
                sent.popleft()
            if len(sent) >= most:
                wait_s = max(1, ceil((sent[0] + span - now).total_seconds()))
                raise Refused(429, f"retry after {wait_s}", parameters={"retry_after": wait_s})
        for sent, *_ in windows:
            sent.append(now)
