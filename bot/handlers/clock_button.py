"""The button below a day that sends its clock as sound."""

from __future__ import annotations

from bot.calls import Button, Rows
from bot.handlers.presses import data
from bot.running import Running
from store.values import Day


def clock_button(running: Running, day: Day) -> Rows:
    """Give the button that sends a day's clock; none on a rest day."""
    if day.is_rest:
        return ()
    stored = running.stored
    text = str(running.say("button_clock"))
    return ((Button(text, data("n", stored.chat_id, stored.challenge_id, day.number)),),)
