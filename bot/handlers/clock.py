"""The day's clock as sound: /clock, and the button below /today."""

from __future__ import annotations

from markupsafe import Markup
from telegram import Update

from bot.calls import Play
from bot.handlers.presses import Press, current_press
from bot.handlers.score import argument, nothing_on
from bot.running import Running
from bot.speaker import Spoken, spoken
from bot.turn import Turn
from bot.wording import Wording, lines
from content.challenge import RestDay
from content.clock_track import Cue, Track, day_track, even_pace
from content.units import clock_text
from store.values import Day

_LONGEST_NUMBER = 3  # digits


async def on_clock(update: Update, turn: Turn) -> None:
    """Send the clock of today; a number behind the command asks for a pace of so many rounds."""
    if (said := spoken(update)) is None:
        return
    running = await turn.running(chat_id=said.chat_id, user_id=said.user_id, ended_too=True)
    day = running.day_on(said.said_at) if running is not None else None
    if running is None or day is None:
        turn.reply(said, nothing_on(running, Wording()))
        return
    division = running.division_of(await turn.participant(running, said.user_id))
    wanted = argument(said.text)
    if wanted and not (wanted.isdecimal() and len(wanted) < _LONGEST_NUMBER):
        turn.reply(said, running.say("clock_usage"))
        return
    made = _clock(running, day, division, rounds=int(wanted or 0))
    if isinstance(made, Markup):
        turn.reply(said, made)
    else:
        turn.owe(_play(running, day, made, said, reply_to=said.message_id))


async def on_clock_button(update: Update, turn: Turn) -> None:
    """Send the clock of a day: `n:<chat>:<challenge>:<day>`."""
    if (found := await current_press(update, turn, 3)) is None:
        return
    pressed, numbers, running = found
    day = running.day(numbers[2])
    if day is None or day.opens_at > turn.now:
        turn.toast(pressed.query_id, running.say("stale_button"))
        return
    division = running.division_of(await turn.participant(running, pressed.user_id))
    made = _clock(running, day, division, rounds=0)
    if isinstance(made, Markup):
        turn.toast(pressed.query_id, made)
        return
    turn.toast(pressed.query_id, running.say("clock_coming"))
    turn.owe(_play(running, day, made, pressed))


def _play(
    running: Running, day: Day, track: Track, to: Spoken | Press, *, reply_to: int | None = None
) -> Play:
    """Give the call that sends a clock where it was asked for."""
    return Play(
        to.chat_id,
        track,
        str(_caption(running, day, track)),
        str(running.say("clock_not_allowed")),
        reply_to=reply_to,
        thread_id=to.thread_id,
    )


def _clock(running: Running, day: Day, division: str, *, rounds: int) -> Track | Markup:
    """Give a day's track, or say why there is none. `rounds`: 0 for no pace."""
    written = running.written[day.number]
    task = running.task(day.number, division)
    if isinstance(written, RestDay) or task is None:
        return running.say("clock_rest")
    pace = even_pace(task, rounds) if rounds else ()
    if rounds and not pace:
        return running.say("clock_no_pace", count=rounds)
    return day_track(written, pace_s=pace)


def _caption(running: Running, day: Day, track: Track) -> Markup:
    """Say when what begins, and what the sounds mean that this clock has."""
    say = running.say
    ends_at = track.marks[-1].at_s
    has_end = track.marks[-1].cue is Cue.END
    heading = say("clock_heading", day=day.number, title=running.written[day.number].title)
    start = clock_text(track.starts_at_s)
    when = (
        say("clock_when", start=start, end=clock_text(ends_at))
        if has_end
        else say("clock_when_open", start=start)
    )
    heard = {mark.cue for mark in track.marks}
    legend = [say(f"clock_cue_{cue}") for cue in Cue if cue in heard]
    return lines([heading, when, *legend])
