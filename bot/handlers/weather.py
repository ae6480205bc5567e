"""Answer what somebody tells of heat, cold and air: /weather, and the same in their own words."""

from __future__ import annotations

from telegram import Update

from bot.handlers.score import argument
from bot.reading.weather import read_command
from bot.speaker import spoken
from bot.turn import Turn
from bot.weather_text import today_of, weather_text
from bot.wording import Wording


async def on_weather(update: Update, turn: Turn) -> None:
    """Say the usual measures for the weather behind the command; a challenge need not run."""
    if (said := spoken(update)) is None:
        return
    told = read_command(argument(said.text), said.language[:2].lower())
    if told is None:
        turn.reply(said, Wording()("weather_usage"))
        return
    running = await turn.running(chat_id=said.chat_id, user_id=said.user_id)
    day = running.day_on(said.said_at) if running is not None else None
    today = today_of(running, day) if running is not None and day is not None else None
    turn.reply(said, weather_text(Wording(), told, today))
