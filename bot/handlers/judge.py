"""An organiser gives a no-rep, or lets a score stand again, as a reply to the score."""

from __future__ import annotations

from typing import TypedDict

from telegram import Update

from bot.handlers.organise import asked_by_administrator
from bot.handlers.score import argument
from bot.running import Running, stored_score
from bot.score_text import score_text
from bot.speaker import Spoken
from bot.turn import Turn
from store import results
from store.values import ChallengeId, ChatId, Result, UserId


async def on_norep(update: Update, turn: Turn) -> None:
    """Strike the score of the message replied to; the text behind is the reason."""
    if (found := await _judged(update, turn)) is None:
        return
    said, running, result, told = found
    why = argument(said.text) or str(running.say("norep_no_reason"))
    await results.strike(
        turn.session, **_key(result), by=UserId(said.user_id), why=why, now=turn.now
    )
    turn.reply(said, running.say("norep_done", **told, why=why))


async def on_reinstate(update: Update, turn: Turn) -> None:
    """Let the score of the message replied to stand again."""
    if (found := await _judged(update, turn)) is None:
        return
    said, running, result, told = found
    why = argument(said.text)
    await results.reinstate(
        turn.session, **_key(result), by=UserId(said.user_id), why=why, now=turn.now
    )
    turn.reply(said, running.say("reinstate_done", **told))


class _Key(TypedDict):
    chat_id: ChatId
    challenge_id: ChallengeId
    day_number: int
    user_id: UserId


def _key(result: Result) -> _Key:
    return {
        "chat_id": result.chat_id,
        "challenge_id": result.challenge_id,
        "day_number": result.day_number,
        "user_id": result.user_id,
    }


async def _judged(
    update: Update, turn: Turn
) -> tuple[Spoken, Running, Result, dict[str, object]] | None:
    """Give the result an administrator's reply is about and how to name it, or say what lacks."""
    if (found := await asked_by_administrator(update, turn, ended_too=True)) is None:
        return None
    said, running = found
    message = update.effective_message
    target = message.reply_to_message if message is not None else None
    if target is None:
        turn.reply(said, running.say("norep_needs_reply"))
        return None
    told = await results.change_of_message(turn.session, ChatId(said.chat_id), target.message_id)
    result = told and await results.result_of(turn.session, **_key(told))
    if result is None or result.challenge_id != running.stored.challenge_id:
        turn.reply(said, running.say("norep_no_score"))
        return None
    person = await turn.participant(running, result.user_id)
    return (
        said,
        running,
        result,
        {
            "name": person.name if person else "",
            "day": result.day_number,
            "score": score_text(stored_score(result.result)),
        },
    )
