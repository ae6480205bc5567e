"""/plan and its buttons: find the group and the right, read the words, do what they say."""

from __future__ import annotations

from typing import assert_never

from telegram import Update

from bot.calls import Button
from bot.handlers.change_day import keep_words, start_change
from bot.handlers.copy_challenge import offer_copy
from bot.handlers.order import Order
from bot.handlers.plan_views import (
    show_day,
    show_history,
    show_now_question,
    show_plan,
    show_times,
    show_words,
)
from bot.handlers.presses import Press, data, press
from bot.handlers.preview import preview
from bot.handlers.replan import replan
from bot.handlers.score import argument, refuse_unknown
from bot.handlers.tell_group import tell_group
from bot.plan_text import tell_bad_words
from bot.plan_words import BadWords, ChangeDay, Copy, Look, Show, read_plan_words
from bot.running import Running
from bot.speaker import Spoken, spoken
from bot.turn import Turn
from bot.wording import Wording
from store import groups, people
from store.values import ChatId, UserId

_LONGEST_DATA = 64  # bytes. Source: Bot API, InlineKeyboardButton.callback_data


async def on_plan(update: Update, turn: Turn) -> None:
    """Show or change the plan, of this group or in private of one the person organises."""
    if (said := spoken(update)) is None:
        refuse_unknown(update, turn)
        return
    if said.is_private:
        await _in_private(turn, said)
        return
    rights = turn.open.rights
    if not rights.is_administrator(said.chat_id, said.user_id):
        turn.reply(said, Wording()("admin_only"))
        return
    chat_id = ChatId(said.chat_id)
    running = await turn.open.shelf.of_chat(turn.session, chat_id, ended_too=True)
    if running is None:
        turn.reply(said, Wording()("no_challenge"))
        return
    # From now on the group is among those the person is asked about in private.
    await people.add_organiser(
        turn.session, chat_id=chat_id, user_id=UserId(said.user_id), now=turn.now
    )
    await _follow(Order(turn, running, said), argument(said.text))


async def _in_private(turn: Turn, said: Spoken) -> None:
    """Act on the one group the person organises, or ask which."""
    words = argument(said.text)
    found = await _groups_of(turn, said.user_id)
    if not found:
        turn.reply(said, Wording()("plan_no_group"))
    elif len(found) == 1:
        await _follow(Order(turn, found[0], said), words)
    else:
        read = read_plan_words(words)
        if isinstance(read, BadWords):  # no group makes them any better
            turn.reply(said, tell_bad_words(Wording(), read))
            return
        if isinstance(read, ChangeDay):
            words = await keep_words(turn, said.user_id, read)
        await _ask_which(turn, said, found, words)


async def _ask_which(turn: Turn, said: Spoken, found: list[Running], words: str) -> None:
    rows = []
    for running in found:
        title = await groups.group_title(turn.session, running.stored.chat_id)
        label = f"{title or running.say('plan_in_group_unnamed')} · {running.content.head.title}"
        key = data("l", running.stored.chat_id, running.stored.challenge_id, words)
        if len(key.encode()) <= _LONGEST_DATA:
            rows.append((Button(label, key),))
    turn.reply(said, Wording()("plan_which_group"), buttons=tuple(rows))


async def _groups_of(turn: Turn, user_id: int) -> list[Running]:
    """Give the latest challenge of every group that a person organises, as the platform says."""
    found = []
    for chat_id, _ in await people.groups_organised(turn.session, UserId(user_id)):
        if not turn.open.rights.is_administrator(chat_id, user_id):
            continue
        running = await turn.open.shelf.of_chat(turn.session, chat_id, ended_too=True)
        if running is not None:
            found.append(running)
    return found


async def on_plan_button(update: Update, turn: Turn) -> None:
    """Do what the words on a button say: `l:<chat>:<challenge>:<words>`."""
    if (pressed := press(update)) is None:
        return
    numbers = pressed._replace(parts=pressed.parts[:2]).numbers(2)
    if numbers is None:
        turn.toast(pressed.query_id, Wording()("stale_button"))
        return
    chat_id = await groups.current_chat_id(turn.session, ChatId(numbers[0]))
    if not _may_press(turn, pressed, chat_id):
        turn.toast(pressed.query_id, Wording()("admin_only"))
        return
    running = await turn.open.shelf.of_chat(turn.session, chat_id, ended_too=True)
    if running is None or running.stored.challenge_id != numbers[1]:
        turn.toast(pressed.query_id, Wording()("stale_button"))
        return
    await _follow(Order(turn, running, pressed), ":".join(pressed.parts[2:]))


def _may_press(turn: Turn, pressed: Press, chat_id: ChatId) -> bool:
    """Buttons of a group's plan work in that group and in private, for its administrators."""
    is_here = pressed.chat_id in {chat_id, pressed.user_id}
    return is_here and turn.open.rights.is_administrator(chat_id, pressed.user_id)


async def _follow(order: Order, words: str) -> None:
    """Read the words and do what they say."""
    wish = read_plan_words(words)
    if isinstance(wish, BadWords):
        await order.refuse(tell_bad_words(order.say, wish))
    elif isinstance(wish, Copy):
        await offer_copy(order, wish.on)
    elif isinstance(wish, Show) and wish.look is Look.HISTORY:
        await show_history(order)
    elif order.running.stored.ended_at is not None:
        await order.refuse(order.say("plan_ended"))
    elif isinstance(wish, Show):
        await _show(order, wish)
    elif isinstance(wish, ChangeDay):
        await start_change(order, wish)
    else:
        await replan(order, wish)


async def _show(order: Order, wish: Show) -> None:
    match wish.look:
        case Look.PLAN:
            await show_plan(order)
        case Look.TIMES:
            await show_times(order)
        case Look.HISTORY:
            await show_history(order)
        case Look.DAY:
            await show_day(order, wish.number)
        case Look.PREVIEW:
            await preview(order, wish.number)
        case Look.ASK_NOW:
            await show_now_question(order, wish.number)
        case Look.HELP:
            await show_words(order)
        case Look.TELL:
            await tell_group(order, wish.number)
        case _:
            assert_never(wish.look)
