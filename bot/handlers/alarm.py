"""Signs of an emergency: tell the person to stop and get help, and the organisers to look.

This comes before everything else, whether or not a challenge runs or the person is known.
"""

from __future__ import annotations

from collections.abc import Sequence

from telegram import Update

from bot.reading.reader import emergency_signs
from bot.speaker import Spoken
from bot.turn import Turn
from bot.wording import Wording
from store import groups
from store.values import ChatId


async def alarm_for(turn: Turn, said: Spoken, signs: Sequence[str]) -> None:
    """Answer the signs in what a person said."""
    chat_id = said.chat_id
    if said.is_private:
        running = await turn.running(chat_id=said.chat_id, user_id=said.user_id)
        chat_id = running.stored.chat_id if running is not None else said.chat_id
    told = await _tell(turn, chat_id, said.name, said.text, signs)
    key = "caution_alarm" if told else "caution_alarm_untold"
    turn.reply(said, Wording()(key, name=said.name))


async def alarm_for_unknown(update: Update, turn: Turn) -> bool:
    """Do the same for words under the name of the group or a channel."""
    message = update.effective_message
    text = (message.text or message.caption or "") if message is not None else ""
    signs = emergency_signs(text)
    if message is None or not signs:
        return False
    say = Wording()
    name = str(say("somebody"))
    told = await _tell(turn, message.chat_id, name, text, signs)
    key = "caution_alarm" if told else "caution_alarm_untold"
    turn.say(message.chat_id, say(key, name=say("you")), reply_to=message.message_id)
    return True


async def _tell(turn: Turn, chat_id: int, name: str, text: str, signs: Sequence[str]) -> bool:
    say = Wording()
    return await turn.tell_organisers(
        chat_id,
        say(
            "caution_organiser",
            name=name,
            group=await groups.group_title(turn.session, ChatId(chat_id)),
            signs=", ".join(str(say(f"sign_{sign}")) for sign in signs),
            quote=text[:300],
        ),
    )
