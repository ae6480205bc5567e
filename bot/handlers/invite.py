"""The invitation to join: one button a division, each with one line about it."""

from __future__ import annotations

from markupsafe import Markup

from bot.calls import Button, Rows
from bot.handlers.presses import data
from bot.running import Running
from bot.wording import lines


def join_data(running: Running, division: int, ask_id: int = 0) -> str:
    """Write the data of a button that joins; with an ask, the score behind it is recorded."""
    stored = running.stored
    return data("j", stored.chat_id, stored.challenge_id, division, ask_id)


def join_buttons(running: Running, ask_id: int = 0) -> Rows:
    """Give one button for each division."""
    return tuple(
        (Button(division.name, join_data(running, index, ask_id)),)
        for index, division in enumerate(running.content.head.divisions)
    )


def division_lines(running: Running) -> Markup:
    """Write what each division is, a line each."""
    return lines(
        running.say("join_invite_line", name=division.name, summary=division.summary)
        for division in running.content.head.divisions
    )


def invitation(running: Running) -> Markup:
    """Write the invitation that stands above the buttons."""
    title = running.content.head.title
    return running.say("join_invite", title=title, divisions=division_lines(running))
