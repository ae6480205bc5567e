"""Write the head of a draft: title, zone, divisions, times, cautions, how many days."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from bot.draft_text import tell_draft
from bot.draft_values import Awaited, Draft
from bot.draft_wishes import Page, SetCautions, SetCount, SetDivisions, SetTitle
from bot.draft_words import zone_named
from bot.drafting import (
    Step,
    lost_by,
    next_step,
    read_divisions,
    with_count,
    with_divisions,
    with_time,
)
from bot.handlers.at_desk import Writer, key
from bot.handlers.draft_buttons import back_button, draft_buttons
from bot.handlers.questions import in_rows
from bot.plan_values import SetTime
from bot.wording import lines

_LONGEST = 400  # as `content.fields.Line`
_ASKED = {Step.TITLE: Awaited.TITLE, Step.ZONE: Awaited.ZONE, Step.DAY: Awaited.DAY}


async def show_draft(writer: Writer, told: Markup | None = None) -> None:
    """Show the draft, and take the next message for what it asks for.

    Args:
        writer: Who writes.
        told: What has just been done; stands above it.
    """
    draft, say = writer.draft, writer.say
    following = next_step(draft)
    what = _ASKED.get(following.step)
    waits = writer.waits(what, following.day) if what is not None else None
    writer = await writer.put(draft, waits)
    text = tell_draft(say, draft)
    if told is not None:
        text = lines([told, "", text])
    writer.tell(text, buttons=draft_buttons(say, draft))


async def ask_for(writer: Writer, page: Page) -> None:
    """Show a part of the head, and how it is changed."""
    draft, say = writer.draft, writer.say
    waits = {Page.TITLE: Awaited.TITLE, Page.ZONE: Awaited.ZONE}.get(page)
    if waits is not None:
        writer = await writer.put(draft, writer.waits(waits))
    values = {
        "title": draft.title or say("write_untitled"),
        "zone": draft.time_zone or say("write_no_zone"),
        "divisions": lines(f"{each.name}: {each.summary}" for each in draft.divisions),
        "cautions": lines(draft.cautions),
    }
    writer.tell(say(f"write_ask_{page}", **values), buttons=((back_button(say),),))


async def set_title(writer: Writer, wish: SetTitle) -> None:
    """Set the title."""
    title = " ".join(wish.text.split())[:_LONGEST]
    draft = writer.draft.model_copy(update={"title": title})
    await _changed(writer, draft, "write_did_title", title=title)


async def take_zone(writer: Writer, text: str) -> None:
    """Set the zone that words name, or offer the nearest."""
    found = zone_named(text)
    if isinstance(found, str):
        await put_zone(writer, found)
        return
    rows = in_rows([key(f"zone {name}", name) for name in found])
    writer.tell(writer.say("write_which_zone", text=text[:80]), buttons=rows)


async def put_zone(writer: Writer, name: str) -> None:
    """Set the zone."""
    draft = writer.draft.model_copy(update={"time_zone": name})
    await _changed(writer, draft, "write_did_zone", zone=name)


async def set_divisions(writer: Writer, wish: SetDivisions) -> None:
    """Set the divisions, and read all days anew."""
    divisions = read_divisions(wish.text)
    if divisions is None:
        writer.tell(writer.say("write_bad_divisions", text=wish.text[:200]))
        return
    if lost := lost_by(writer.draft, divisions):
        writer.tell(writer.say("write_divisions_lose", days=_numbers(lost)))
        return
    names = ", ".join(division.name for division in divisions)
    await _changed(
        writer, with_divisions(writer.draft, divisions), "write_did_divisions", names=names
    )


def _numbers(days: Sequence[int]) -> str:
    return ", ".join(map(str, days))


async def set_cautions(writer: Writer, wish: SetCautions) -> None:
    """Set what stands below every day."""
    said = tuple(line[:_LONGEST] for line in wish.lines if line)
    if not said:
        await ask_for(writer, Page.CAUTIONS)
        return
    draft = writer.draft.model_copy(update={"cautions": said})
    await _changed(writer, draft, "write_did_cautions", count=len(said))


async def set_time(writer: Writer, wish: SetTime) -> None:
    """Set a time of day."""
    changed = with_time(writer.draft, wish.which, wish.local_time)
    if isinstance(changed, str):
        writer.tell(writer.say("write_bad_times", why=changed))
    else:
        await _changed(writer, changed, "write_did_times")


async def set_count(writer: Writer, wish: SetCount) -> None:
    """Set how many days there are; none that was written goes by that."""
    changed = with_count(writer.draft, wish.count)
    if isinstance(changed, int):
        writer.tell(writer.say("write_count_loses", day=changed))
    else:
        await _changed(writer, changed, "write_did_count", count=wish.count)


async def _changed(writer: Writer, draft: Draft, key_: str, **values: object) -> None:
    writer = await writer.put(draft)
    await show_draft(writer, writer.say(key_, **values))
