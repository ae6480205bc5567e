"""Joining, with a division, by /join and its buttons."""

from __future__ import annotations

from telegram import Update

from bot.handlers.ask_back import JOIN
from bot.handlers.invite import invitation, join_buttons
from bot.handlers.presses import Press, current_press
from bot.handlers.score import handle_text, nothing_on, refuse_unknown
from bot.running import Running
from bot.speaker import Spoken, spoken
from bot.turn import Turn
from bot.wording import Wording
from store import asks, people
from store.values import Ask, UserId


async def on_join_command(update: Update, turn: Turn) -> None:
    """Answer /join with one button for each division."""
    if (said := spoken(update)) is None:
        refuse_unknown(update, turn)
        return
    running = await turn.running(chat_id=said.chat_id, user_id=said.user_id)
    if running is None:
        turn.reply(said, nothing_on(None, Wording()))
        return
    turn.reply(said, invitation(running), buttons=join_buttons(running))


async def on_join_button(update: Update, turn: Turn) -> None:
    """Enter the person: `j:<chat>:<challenge>:<division>:<ask>`."""
    if (found := await current_press(update, turn, 4)) is None:
        return
    pressed, numbers, running = found
    if (
        pressed.chat_id != running.stored.chat_id  # joining happens in the group
        or not 0 <= numbers[2] < len(running.content.head.divisions)
    ):
        turn.toast(pressed.query_id, Wording()("stale_button"))
        return
    ask = await asks.ask_by_id(turn.session, running.stored.chat_id, numbers[3])
    if ask is not None and ask.user_id != pressed.user_id:
        turn.toast(pressed.query_id, running.say("not_your_button"))
        return
    await _enter(turn, running, pressed, running.content.head.divisions[numbers[2]].id)
    if ask is None:
        return
    if ask.closed_at is not None:
        ask = await _newer(turn, running, pressed) or ask
    if await asks.close_ask(turn.session, ask.chat_id, ask.ask_id, turn.now):
        await _score_behind(turn, pressed, ask)


async def _newer(turn: Turn, running: Running, pressed: Press) -> Ask | None:
    """Give the person's question that waits for them to join, put after the one pressed."""
    stored = running.stored
    ask = await asks.open_ask_of(turn.session, stored.chat_id, UserId(pressed.user_id))
    if ask is None or ask.kind != JOIN or ask.challenge_id != stored.challenge_id:
        return None
    return ask


async def _enter(turn: Turn, running: Running, pressed: Press, division: str) -> None:
    joined = await people.join(
        turn.session,
        chat_id=running.stored.chat_id,
        challenge_id=running.stored.challenge_id,
        user_id=UserId(pressed.user_id),
        name=pressed.name,
        division=division,
        language=pressed.language,
        now=turn.now,
    )
    name, before = running.division_name(division), joined.previous_division
    if before == division:
        turn.toast(pressed.query_id, running.say("joined_same", division=name))
        return
    turn.toast(pressed.query_id, running.say("recorded_joined", division=name))
    if before is None:
        text = running.say("joined", name=pressed.name, division=name)
    else:
        earlier = running.division_name(before)
        text = running.say("joined_again", name=pressed.name, division=name, before=earlier)
    turn.say(pressed.chat_id, text, thread_id=pressed.thread_id)


async def _score_behind(turn: Turn, pressed: Press, ask: Ask) -> None:
    """Read the score that made the person join again, now on their own division's ladder."""
    said = Spoken(
        chat_id=ask.message_chat_id,
        user_id=pressed.user_id,
        name=pressed.name,
        language=pressed.language,
        text=ask.raw_text,
        message_id=ask.message_id,
        thread_id=pressed.thread_id,
        said_at=ask.said_at,
        settled_at=ask.said_at,
    )
    await handle_text(turn, said, into=(pressed.chat_id, pressed.message_id))
