"""The results of challenges that have ended: they stay within reach while another one runs."""

from __future__ import annotations

from telegram import Update

from bot.calls import Button, Rows
from bot.handlers.presses import data, press
from bot.messages import pieces
from bot.running import Running
from bot.speaker import Spoken
from bot.standings_text import week_post
from bot.timetable import date_text
from bot.turn import Turn
from bot.wording import Wording
from store import challenges, groups
from store.errors import NoSuchChallenge
from store.values import Challenge, ChallengeId, ChatId, UserId

_MOST = 20


async def offer_earlier(turn: Turn, said: Spoken) -> None:
    """Answer /places earlier: one button for each challenge that has ended here, the latest first.

    In private those that the person took part in.
    """
    if said.is_private:
        found = await challenges.challenges_of_person(
            turn.session, UserId(said.user_id), ended_too=True
        )
    else:
        found = await challenges.challenges_of_chat(turn.session, ChatId(said.chat_id))
    ended = [each for each in found if each.ended_at is not None]
    if not ended:
        turn.reply(said, Wording()("earlier_none"))
        return
    turn.reply(said, Wording()("earlier_which"), buttons=_buttons(ended))


def _buttons(ended: list[Challenge]) -> Rows:
    say = Wording()
    return tuple(
        (
            Button(
                str(
                    say(
                        "button_earlier",
                        title=each.title,
                        date=f"{date_text(each.start_date)} {each.start_date.year}",
                    ).unescape()
                ),
                data("e", each.chat_id, each.challenge_id),
            ),
        )
        for each in ended[:_MOST]
    )


async def has_earlier(turn: Turn, running: Running) -> bool:
    """Say whether the group has had another challenge that has ended."""
    stored = running.stored
    found = await challenges.challenges_of_chat(turn.session, stored.chat_id)
    others = [each for each in found if each.challenge_id != stored.challenge_id]
    return any(each.ended_at is not None for each in others)


async def on_earlier_button(update: Update, turn: Turn) -> None:
    """Show an ended challenge's result there, or to who was in it: `e:<chat>:<challenge>`."""
    if (pressed := press(update)) is None:
        return
    numbers = pressed.numbers(2)
    running = None if numbers is None else await _ended(turn, *numbers)
    if running is None:
        turn.toast(pressed.query_id, Wording()("stale_button"))
        return
    is_here = pressed.chat_id == running.stored.chat_id
    if not is_here and await turn.participant(running, pressed.user_id) is None:
        turn.toast(pressed.query_id, running.say("not_your_button"))
        return
    turn.toast(pressed.query_id)
    text = await week_post(turn.session, running, turn.now)
    turn.rewrite(pressed.chat_id, pressed.message_id, pieces(text)[0])


async def _ended(turn: Turn, chat: int, challenge: int) -> Running | None:
    chat_id = await groups.current_chat_id(turn.session, ChatId(chat))
    try:
        stored = await challenges.challenge(turn.session, chat_id, ChallengeId(challenge))
    except NoSuchChallenge:
        return None
    if stored.ended_at is None:
        return None
    return await turn.open.shelf.open(turn.session, stored)
