"""The bot comes into a group, leaves it, or the group gets a new id."""

from __future__ import annotations

from telegram import ChatMember, ChatMemberRestricted, Update
from telegram.constants import ChatType

from bot.turn import Turn
from bot.wording import Wording
from store import groups, people
from store.values import ChatId, UserId

_IN = {ChatMember.MEMBER, ChatMember.ADMINISTRATOR}


async def on_my_membership(update: Update, turn: Turn) -> None:
    """Note where the bot can write: added, removed, promoted; blocked or opened in private."""
    change = update.my_chat_member
    if change is None:
        return
    is_in = _is_in(change.new_chat_member)
    if change.chat.type == ChatType.PRIVATE:
        await people.mark_can_write_to(turn.session, UserId(change.chat.id), can=is_in)
        return
    if change.chat.type == ChatType.CHANNEL:
        return
    chat_id = ChatId(change.chat.id)
    turn.open.rights.forget(chat_id)
    title = change.chat.title or ""
    await groups.note_group(turn.session, chat_id, title, is_active=is_in, now=turn.now)
    if is_in and not _is_in(change.old_chat_member):
        turn.say(change.chat.id, Wording()("help_organiser"))


def _is_in(member: ChatMember) -> bool:
    if isinstance(member, ChatMemberRestricted):
        return member.is_member  # a restriction outlives leaving
    return member.status in _IN


async def on_membership(update: Update, turn: Turn) -> None:
    """Somebody's rights may have changed: ask again next time; who lost them organises no more."""
    change = update.chat_member
    if change is None:
        return
    turn.open.rights.forget(change.chat.id)
    if change.new_chat_member.status not in {ChatMember.ADMINISTRATOR, ChatMember.OWNER}:
        await people.remove_organiser(
            turn.session,
            chat_id=ChatId(change.chat.id),
            user_id=UserId(change.new_chat_member.user.id),
        )


async def on_migration(update: Update, turn: Turn) -> None:
    """Follow a group to its new id; both service messages may come, in any order."""
    message = update.effective_message
    if message is None:
        return
    if message.migrate_to_chat_id is not None:
        old, new = message.chat_id, message.migrate_to_chat_id
    elif message.migrate_from_chat_id is not None:
        old, new = message.migrate_from_chat_id, message.chat_id
    else:
        return
    await groups.move_chat(turn.session, old=ChatId(old), new=ChatId(new))
