"""Work that is too long for a turn: reviews and pictures, in a thread, one at a time.

What comes out is owed like any answer. A study that a stop interrupts is lost; nothing rests on
it, and it can be asked for again.
"""

from __future__ import annotations

import asyncio
import base64
import logging
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from bot.calls import Call, Say, SendPhoto
from bot.outbox import owe_calls
from bot.wording import Wording
from content.challenge import Challenge as Content
from content.challenge import RestDay
from store.engine import Database
from store.values import ChatId

log = logging.getLogger(__name__)


class Wanted(StrEnum):
    """What a study is to bring; each has its function below."""

    REVIEW = "review"
    PICTURE = "picture"


@dataclass(frozen=True, slots=True)
class Study:
    """Something to be found out about a challenge, for a chat; `day` where it is about one."""

    chat_id: int
    content: Content
    wanted: Wanted
    day: int = 0


class Studio:
    """Carries studies out.

    Args:
        database: Where answers are owed.
        clock: Aware, UTC.
        owing: Called when there is something to send.
        work: Does a study in a thread and gives what is to be answered.
    """

    def __init__(
        self,
        database: Database,
        clock: Callable[[], datetime],
        owing: Callable[[], None],
        work: Callable[[Study], list[Call]] | None = None,
    ) -> None:
        self._database = database
        self._clock = clock
        self._owing = owing
        self._work = work or do_study
        self._one_at_a_time = asyncio.Lock()
        self._running: set[asyncio.Task[None]] = set()
        self._under_way: set[tuple[int, Wanted, int]] = set()

    def begin(self, studies: Sequence[Study]) -> None:
        """Begin studies; one that is under way for the same chat is not begun again."""
        for study in studies:
            key = (study.chat_id, study.wanted, study.day)
            if key in self._under_way:
                continue
            self._under_way.add(key)
            task = asyncio.create_task(self._carry_out(study))
            self._running.add(task)
            task.add_done_callback(self._running.discard)

    async def settle(self) -> None:
        """Wait for all that was begun."""
        await asyncio.gather(*self._running)

    async def stop(self) -> None:
        """Begin nothing more; what is in a thread ends there and is not answered."""
        for task in tuple(self._running):
            task.cancel()
        await asyncio.gather(*self._running, return_exceptions=True)

    async def _carry_out(self, study: Study) -> None:
        try:
            async with self._one_at_a_time:
                calls = await asyncio.to_thread(self._work, study)
        except Exception as error:  # noqa: BLE001 - logged, and the person is told
            log.error("study for chat %s failed: %s", study.chat_id, type(error).__name__)  # noqa: TRY400 - the error may quote what a person wrote
            calls = [Say(study.chat_id, str(Wording()("review_failed")))]
        finally:
            self._under_way.discard((study.chat_id, study.wanted, study.day))
        async with self._database.work() as session:
            chat_id = ChatId(study.chat_id)
            await owe_calls(session, calls, chat_id=chat_id, now=self._clock())
            await session.commit()
        self._owing()


def do_study(study: Study) -> list[Call]:
    """Find out what is wanted; takes seconds."""
    return _WORK[study.wanted](study)


# What these need is imported in them only: numbers and pictures cost more at a start than all the
# rest.


def _review(study: Study) -> list[Call]:
    from bot.review_screen import picture_buttons, review_screen  # noqa: PLC0415
    from content.review.review import review  # noqa: PLC0415

    say, found = Wording(), review(study.content)
    text = review_screen(say, found)
    return [Say(study.chat_id, str(text), buttons=picture_buttons(say, found.outlook))]


def _picture(study: Study) -> list[Call]:
    from bot.pictures.review_picture import day_picture  # noqa: PLC0415
    from content.review.outlook import look_ahead  # noqa: PLC0415

    say = Wording()
    is_rest = isinstance(study.content.days[study.day - 1], RestDay)
    picture = None if is_rest else day_picture(look_ahead(study.content), study.day)
    if picture is None:
        return [Say(study.chat_id, str(say("review_no_picture", day=study.day)))]
    caption = say("review_caption", day=study.day)
    return [SendPhoto(study.chat_id, base64.b64encode(picture).decode(), str(caption))]


_WORK: Mapping[Wanted, Callable[[Study], list[Call]]] = {
    Wanted.REVIEW: _review,
    Wanted.PICTURE: _picture,
}
