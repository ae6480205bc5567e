"""The plan in the chat: looking, changing, who may, what is said, and what is left alone."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from icalendar import Calendar

from bot.rehearsal.people import Json
from bot.rehearsal.start import Rehearsal, quiet
from bot.running import Shelf
from bot.timetable import plan_days, plan_posts
from store import challenges, plans
from store.values import ChatId, PostState
from tests.bot import acts

ADMIN_ONLY = "Only administrators of this group can do that."
TITLE = "Seven Mornings on the Quay"


def labels(message: Json) -> list[str]:
    rows = message.get("reply_markup", {}).get("inline_keyboard", [])
    return [button["text"] for row in rows for button in row]


async def press(play: Rehearsal, name: str, label: str, place=None) -> list[str]:
    """Press the button with a label below the last message of the bot with buttons."""
    messages = [m for m in play.room.messages(place or play.group) if acts.keys(m)]
    message = messages[-1]
    return await acts.press(play, name, labels(message).index(label), message=message)


async def plan(play: Rehearsal, words: str, *, private: bool = False) -> str:
    """Let the organiser write /plan and give the answer, which comes before any post."""
    place = play.coach if private else None
    said, *_ = await acts.say(play, "Ines", f"/plan {words}".strip(), place=place)
    return said


async def dates(play: Rehearsal) -> list[str]:
    async with play.database.reading() as session:
        stored = await challenges.latest_challenge(session, ChatId(play.group.chat_id))
        assert stored is not None
        found = await challenges.days(session, stored)
    return [f"{day.on_date:%m-%d}" + ("x" if day.is_skipped else "") for day in found]


async def history(play: Rehearsal) -> list[tuple[str, str]]:
    async with play.database.reading() as session:
        chat_id = ChatId(play.group.chat_id)
        found = await plans.changes_of_plan(session, chat_id, acts.FIRST)
    return [(change.by_name, change.what) for change in found]


def go_to(play: Rehearsal, day: int, hour: int, minute: int = 0) -> None:
    """Move to a time of the clock in Lisbon in June, an hour ahead of UTC."""
    play.room.clock.move_to(datetime(2026, 6, day, hour - 1, minute, tzinfo=UTC))


async def test_the_plan_has_buttons_for_what_can_be_changed(play: Rehearsal):
    await plan(play, "")

    days = [f"Day {number}" for number in range(2, 8)]
    assert labels(acts.last(play)) == [*days, "Pause", "Times", "Changes", "In words"]


@pytest.mark.parametrize(
    ("words", "answer"),
    [
        pytest.param(
            "move 4 2026-06-08",
            "Day 4 comes on Mon 8 June, 06:00, not on Thu 4 June, 06:00. The 3 days after it move "
            "along; the last one, day 7, is on Thu 11 June, 06:00.",
            id="move",
        ),
        pytest.param(
            "move 7 2026-06-08",
            "Day 7 comes on Mon 8 June, 06:00, not on Sun 7 June, 06:00.",
            id="move_the_last",
        ),
        pytest.param(
            "skip 3",
            "Day 3 (Wed 3 June) is called off: it is not posted and counts for nobody. The other "
            "days stay where they are. /plan unskip 3 brings it back.",
            id="skip",
        ),
        pytest.param(
            "swap 5 3",
            "Swapped: day 3, Wed 3 June, 06:00, is now “Anchor hold”; day 5, Fri 5 June, 06:00, "
            "is “Steady oars”.",
            id="swap",
        ),
        pytest.param(
            "post 07:30",
            "The day's post comes at 07:30 from now on, not at 06:00. "
            "Next is day 2, on Tue 2 June, 07:30.",
            id="post",
        ),
        pytest.param(
            "close 21:30",
            "Days close at 21:30 from now on, not at 05:45. The first is day 2, which closes on "
            "Tue 2 June, 21:30. Day 1 is out and still closes on Tue 2 June, 05:45.",
            id="close",
        ),
        pytest.param(
            "reminder 19:00",
            "A reminder comes at 19:00 on workout days from now on; before: off.",
            id="reminder",
        ),
        pytest.param(
            "results 08:00",
            "The result of a day comes at 08:00 from now on; before: at the close.",
            id="results",
        ),
        pytest.param(
            "zone Europe/Paris",
            "All times are those of Europe/Paris now, no longer of Europe/Lisbon. Day 2 comes on "
            "Tue 2 June, 06:00; before, it would have come on Tue 2 June, 07:00 of the new zone.",
            id="zone",
        ),
        pytest.param(
            "now 2", "Day 2 is posted now. It closes on Wed 3 June, 05:45, as planned.", id="now"
        ),
        pytest.param(
            "pause",
            "Paused: nothing is posted and no day opens until you write /plan resume. Then the "
            "days that are left move along. Days that are out can still be scored and keep their "
            "times; results wait.",
            id="pause",
        ),
    ],
)
async def test_a_change_says_what_will_now_happen(play: Rehearsal, words: str, answer: str):
    assert await plan(play, words) == answer
    assert len(await history(play)) == 2  # begun, and this


@pytest.mark.parametrize(
    ("words", "answer"),
    [
        pytest.param("dance", "I do not know “dance” there.", id="unknown"),
        pytest.param("skip 1", "Day 1 is out already; it can be changed no more.", id="out"),
        pytest.param("skip 8", "There is no day 8: the challenge has days 1 to 7.", id="no_day"),
        pytest.param(
            "move 3 2026-05-01",
            "Fri 1 May 2026 is too early: the next post can come on Tue 2 June 2026.",
            id="past",
        ),
        pytest.param(
            "move 4 2026-06-02", "Day 3 is on Wed 3 June 2026, so day 4 must", id="order"
        ),
        pytest.param(
            "close 06:00", "A day cannot open and close at the same time, 06:00.", id="close"
        ),
        pytest.param(
            "reminder 05:50",
            "The reminder at 05:50 has to lie between the post at 06:00 and the close at 05:45.",
            id="reminder",
        ),
        pytest.param("zone Lisboa", "I need the name of a time zone, as in", id="zone"),
        pytest.param("resume", "The challenge is not paused.", id="resume"),
        pytest.param("now 3", "Day 2 comes before day 3.", id="not_the_next"),
        pytest.param("copy 2026-07-06", f"{TITLE} is still running here.", id="copy"),
        pytest.param("unskip 3", "Day 3 is not called off.", id="unskip"),
    ],
)
async def test_what_makes_no_sense_is_refused_with_the_reason(
    play: Rehearsal, words: str, answer: str
):
    before = await dates(play)

    assert (await plan(play, words)).startswith(answer)
    assert await dates(play) == before
    assert len(await history(play)) == 1


@pytest.mark.parametrize("words", ["", "skip 3", "history", "preview 2", "copy 2026-07-06"])
async def test_participants_change_nothing_by_words_or_buttons(play: Rehearsal, words: str):
    assert await acts.say(play, "Marlow", f"/plan {words}") == [ADMIN_ONLY]
    await plan(play, "")
    for label in ("Day 3", "Pause", "Changes"):
        assert await press(play, "Marlow", label) == [ADMIN_ONLY]
    assert len(await history(play)) == 1


async def test_a_button_is_refused_once_the_person_organises_no_more(play: Rehearsal):
    await plan(play, "day 3")
    play.room.join(play.coach, play.group, "member")

    assert await press(play, "Ines", "Call it off") == [ADMIN_ONLY]
    assert "06-03x" not in await dates(play)


@pytest.mark.parametrize(
    "data",
    [
        "l:{chat}:1:skip 99",
        "l:{chat}:7:skip 3",
        "l:-1009999:1:skip 3",
        "l:{chat}:1:",
        "l:{chat}:x:skip 3",
        "l:{chat}:1:dance:dance",
        "l:",
        "k:{chat}:1:-1009999:739800",
        "k:{chat}:1:{chat}:99999999999",
        "e:{chat}:1",
        "e:-5:1",
        "c:{chat}:9",
        "l:99999999999999999999:1:skip 3",
    ],
)
async def test_forged_buttons_do_no_harm(play: Rehearsal, data: str):
    await plan(play, "")

    for name in ("Marlow", "Ines"):
        toasts = await acts.forge(play, name, data.format(chat=play.group.chat_id))
        assert len(toasts) == 1

    assert await dates(play) == [f"06-{n:02}" for n in range(1, 8)]
    async with play.database.reading() as session:
        assert len(await challenges.running_challenges(session)) == 1


async def test_a_day_is_called_off_and_brought_back_by_buttons(play: Rehearsal):
    await plan(play, "")
    await press(play, "Ines", "Day 3")
    view = acts.last(play)
    await press(play, "Ines", "Call it off")
    off = await dates(play)
    await press(play, "Ines", "The whole plan")
    whole = acts.last(play)["text"]
    await press(play, "Ines", "Day 3")
    again = acts.last(play)
    await press(play, "Ines", "Bring it back")

    assert view["text"].startswith("Day 3 · Steady oars\nIt comes on Wed 3 June, 06:00 and closes")
    assert labels(view) == ["Preview", "Call it off", "To Thu 4 June", "The whole plan"]
    assert off[2] == "06-03x"
    assert "Wed 3 June · day 3 · called off" in whole.splitlines()
    assert labels(again) == ["Bring it back", "The whole plan"]
    assert await dates(play) == [f"06-{n:02}" for n in range(1, 8)]


async def test_every_button_of_the_plan_is_short_enough(play: Rehearsal):
    """Source: Bot API, InlineKeyboardButton.callback_data: 1 to 64 bytes."""
    for words in ("", "day 7", "times", "ask 2", "history"):
        await plan(play, words)
        assert all(1 <= len(key.encode()) <= 64 for key in acts.keys(acts.last(play)))


async def test_a_move_button_pressed_twice_moves_once(play: Rehearsal):
    await plan(play, "day 3")
    message = acts.last(play)
    key = acts.keys(message)[labels(message).index("To Thu 4 June")]
    for _ in range(2):
        play.room.press(play.coach, play.group, message["message_id"], key)
    await quiet(play)

    assert await dates(play) == ["06-01", "06-02", "06-04", "06-05", "06-06", "06-07", "06-08"]
    assert len(await history(play)) == 2
    assert play.room.toasts[-1].text == "Day 3 is on Thu 4 June 2026 already."


async def test_two_organisers_at_the_same_time_leave_one_consistent_plan(play: Rehearsal):
    play.room.join(play.people["Petra"], play.group, "administrator")
    play.people["Petra"].has_started = True
    play.room.say(play.people["Petra"], play.group, "/plan history")
    await quiet(play)

    for who, place in ((play.coach, play.coach), (play.people["Petra"], play.people["Petra"])):
        for words in ("move 3 2026-06-04", "skip 4", "pause"):
            play.room.say(who, place, f"/plan {words}")
    await quiet(play)

    assert await dates(play) == [
        *("06-01", "06-02", "06-04", "06-05x", "06-06", "06-07", "06-08"),
    ]
    assert len(await history(play)) == 4


async def test_after_a_crash_in_the_middle_the_change_is_made_once_and_whole(
    play: Rehearsal, monkeypatch: pytest.MonkeyPatch
):
    note, failures = plans.note_change, []

    async def breaks_once(*args: object, **more: object) -> int:
        if not failures:
            failures.append(1)
            raise OSError("disk")
        return await note(*args, **more)

    monkeypatch.setattr(plans, "note_change", breaks_once)

    answer = await plan(play, "move 3 2026-06-05")

    assert failures == [1]
    assert answer.startswith("Day 3 comes on Fri 5 June")
    assert await dates(play) == [f"06-{n:02}" for n in (1, 2, 5, 6, 7, 8, 9)]
    assert len(await history(play)) == 2


async def test_the_history_says_who_changed_what_and_when(play: Rehearsal):
    await plan(play, "skip 3")
    await plan(play, "close 21:30")

    assert (await plan(play, "history")).splitlines() == [
        f"{TITLE}: changes of the plan (Europe/Lisbon)",
        "Sun 31 May, 18:00 · Ines: begun; day 1 on Mon 1 June, 06:00",
        "Mon 1 June, 06:01 · Ines: day 3 (Wed 3 June) called off",
        "Mon 1 June, 06:01 · Ines: time of the close from 05:45 to 21:30",
    ]


async def test_a_long_history_comes_whole_below_its_button(play: Rehearsal):
    async with play.database.work() as session:
        stored = await challenges.running_challenge(session, ChatId(play.group.chat_id))
        for number in range(29):
            what = f"change {number} " + "x" * 200
            at = play.room.clock()
            await plans.note_change(
                session, stored, by=stored.organiser_id, by_name="Ines", what=what, at=at
            )
        await session.commit()
    await plan(play, "")
    before = len(acts.texts(play))
    await press(play, "Ines", "Changes")

    shown = acts.texts(play)[before - 1 :]
    assert all(f"change {number} " in "\n".join(shown) for number in range(29))
    assert len(shown) == 2
    assert labels(acts.last(play)) == ["The whole plan"]


async def test_a_preview_is_the_very_post_and_goes_to_the_organiser_alone(play: Rehearsal):
    before = len(acts.texts(play, play.coach))
    said = await plan(play, "preview 2")
    intro, *shown = acts.texts(play, play.coach)[before:]
    in_group = len(acts.texts(play))
    go_to(play, 2, 6)
    posted = (await acts.answers(play, in_group))[-1]

    assert said == "I have sent you day 2 in private."
    assert intro == (
        "Day 2 as the group will see it on Tue 2 June, 06:00. "
        "Below it stands a button: [Calendar file]"
    )
    assert shown == [posted]
    assert labels(acts.last(play)) == ["Calendar file"]


async def test_without_a_private_chat_there_is_no_preview(play: Rehearsal):
    play.room.join(play.people["Petra"], play.group, "administrator")

    [said] = await acts.say(play, "Petra", "/plan preview 2")

    assert said.startswith("Please press Start in a private chat with me first")


async def test_posting_now_is_asked_about_and_then_done_once(play: Rehearsal):
    go_to(play, 1, 20)
    await plan(play, "day 2")
    await press(play, "Ines", "Post now")
    question = acts.last(play)
    yes = acts.keys(question)[0]
    before = len(acts.texts(play))
    for _ in range(2):
        play.room.press(play.coach, play.group, question["message_id"], yes)
    posted = await acts.answers(play, before)
    go_to(play, 2, 7)
    later = await acts.answers(play, before + 1)

    assert question["text"] == (
        "Post day 2 now? It was to come on Tue 2 June, 06:00. "
        "A post that is out cannot be taken back."
    )
    assert [text.splitlines()[0] for text in posted] == ["Day 2 of 7 · Tide going out"]
    assert [text.splitlines()[0] for text in later] == ["Day 1 · Round the bollards: the result"]
    assert (await acts.post_of(play, 2)).state is PostState.SENT


async def test_a_post_that_was_refused_is_sent_by_hand(play: Rehearsal):
    go_to(play, 2, 5, 50)  # the result of day 1 is out
    await quiet(play)
    play.room.answer_next("sendMessage", status=400, description="Bad Request: no rights")
    go_to(play, 2, 6)
    await quiet(play)
    refused = (await acts.post_of(play, 2)).state
    posted = await acts.say(play, "Ines", "/plan now 2")
    again = await acts.say(play, "Ines", "/plan now 2")

    assert refused is PostState.SKIPPED
    assert posted[0] == "Day 2 is posted now. It closes on Wed 3 June, 05:45, as planned."
    assert posted[1].startswith("Day 2 of 7 · Tide going out")
    assert again == ["Day 2 is out already; it can be changed no more."]


async def test_buttons_follow_a_group_to_its_new_id(play: Rehearsal):
    play.group.kind = "group"
    await plan(play, "day 3")
    old = acts.last(play)
    words = acts.keys(old)[labels(old).index("Call it off")]
    play.group = play.room.upgrade(play.group, play.coach)
    await quiet(play)
    await plan(play, "day 3")

    assert await acts.forge(play, "Ines", words) == [""]
    assert "06-03x" in await dates(play)


async def test_a_reminder_says_how_long_there_is_and_how_many_are_in(play: Rehearsal):
    await plan(play, "reminder 19:00")
    go_to(play, 1, 18)
    await acts.say(play, "Marlow", "3 rounds + 45")
    await acts.say(play, "Petra", "4 rounds + 2")
    before = len(acts.texts(play))
    go_to(play, 1, 19)
    said = await acts.answers(play, before)

    assert said == [
        (
            "Day 1 closes in 10 hours and 45 minutes, at 05:45. 2 of 5 people are in. "
            "Write yours here, in full or in part: every score counts."
        )
    ]


async def test_no_reminder_comes_unless_a_time_is_set(play: Rehearsal):
    before = len(acts.texts(play))
    go_to(play, 2, 5, 40)

    assert await acts.answers(play, before) == []


async def test_results_come_later_than_the_close_and_scores_do_not(play: Rehearsal):
    await plan(play, "results 08:00")
    await acts.say(play, "Petra", "4 rounds + 2")
    before = len(acts.texts(play))
    go_to(play, 2, 7, 59)
    at_first = await acts.answers(play, before)
    go_to(play, 2, 8)
    later = await acts.answers(play, before + len(at_first))

    assert [text.splitlines()[0] for text in at_first] == ["Day 2 of 7 · Tide going out"]
    assert [text.splitlines()[0] for text in later] == ["Day 1 · Round the bollards: the result"]


async def test_in_a_pause_nothing_is_posted_and_days_that_are_out_can_be_scored(play: Rehearsal):
    await plan(play, "pause")
    before = len(acts.texts(play))
    go_to(play, 3, 12)
    posted = await acts.answers(play, before)
    [score] = await acts.say(play, "Petra", "day 1: 4 rounds + 2")
    [not_yet] = await acts.say(play, "Petra", "day 2: 9:41")
    [today] = await acts.say(play, "Petra", "/today")

    assert posted == []
    assert score.startswith("Petra, day 1, Full: 4 rounds + 2")
    assert not_yet == "Petra, day 2 is not open, so I recorded nothing."
    assert today.endswith(
        "The challenge is paused; the next day comes when the organiser lets it go on."
    )


async def test_going_on_posts_what_waited_and_moves_the_rest(play: Rehearsal):
    await acts.say(play, "Petra", "4 rounds + 2")
    await plan(play, "pause")
    go_to(play, 4, 12)
    await play.rungbell.settle()
    before = len(acts.texts(play))
    answer, result = await acts.say(play, "Ines", "/plan resume")

    assert answer == (
        "It goes on. Day 2 comes on Fri 5 June, 06:00, not on Tue 2 June, 06:00; "
        "the days after it move along, the last one comes on Wed 10 June, 06:00."
    )
    assert result.startswith("Day 1 · Round the bollards: the result")
    go_to(play, 5, 6)
    [posted] = await acts.answers(play, before + 2)
    assert posted.startswith("Day 2 of 7")


async def test_a_group_without_the_bot_keeps_the_plan_that_was_changed_meanwhile(
    play: Rehearsal,
):
    await plan(play, "skip 2")
    play.room.kick_bot(play.group)
    await quiet(play)

    said = await acts.say(play, "Ines", "/plan", place=play.coach)

    assert said[0].startswith("I know no group that you organise.")
    assert "06-02x" in await dates(play)


async def test_in_private_the_one_group_is_meant_and_named(play: Rehearsal):
    group, told = (await plan(play, "skip 3", private=True)).splitlines()

    assert group == "Quayside Movers"
    assert told.startswith("Day 3 (Wed 3 June) is called off")
    assert "06-03x" in await dates(play)


async def test_in_private_somebody_who_organises_nothing_learns_how(play: Rehearsal):
    play.people["Marlow"].has_started = True

    [said] = await acts.say(play, "Marlow", "/plan skip 3", place=play.people["Marlow"])

    assert said == (
        "I know no group that you organise. Write /plan in your group once; "
        "from then on it works here too."
    )


async def test_a_change_made_in_private_can_be_told_the_group_once(play: Rehearsal):
    before = len(acts.texts(play))
    await plan(play, "move 6 2026-06-08", private=True)
    in_silence = acts.texts(play)[before:]
    message = acts.last(play, play.coach)
    key = acts.keys(message)[labels(message).index("Tell the group")]
    for _ in range(2):
        play.room.press(play.coach, play.coach, message["message_id"], key)
    told = await acts.answers(play, before)

    assert in_silence == []
    assert told == [
        (
            "The plan has changed: day 6 moved from Sat 6 June, 06:00 to Mon 8 June, 06:00, "
            "with all days after it."
        )
    ]
    assert play.room.toasts[-1].text == "The group has been told of that already."


async def test_the_words_are_listed_on_demand(play: Rehearsal):
    assert (await plan(play, "help")).startswith("What you can write to change the plan:\n• /plan")
    await plan(play, "")
    await press(play, "Ines", "In words")
    assert "/plan swap 3 5" in acts.last(play)["text"]


async def test_in_private_help_tells_an_organiser_of_the_plan(play: Rehearsal):
    said = await acts.say(play, "Ines", "/help", place=play.coach)
    play.people["Marlow"].has_started = True
    others = await acts.say(play, "Marlow", "/help", place=play.people["Marlow"])

    assert "/plan shows the plan and changes it" in said[0]
    assert "/plan" not in others[0]


async def test_a_result_that_comes_after_the_make_up_promises_none(play: Rehearsal):
    await acts.say(play, "Petra", "4 rounds + 2")
    await plan(play, "pause")
    go_to(play, 5, 12)
    await quiet(play)
    _, result = await acts.say(play, "Ines", "/plan resume")

    assert result.startswith("Day 1 · Round the bollards: the result")
    assert "make it up" not in result


async def second_group(play: Rehearsal):
    """The coach organises another group, in which the challenge has begun as well."""
    group = play.room.add_group("Hill Runners")
    play.room.put_in_group(play.coach, group, "creator")
    await acts.say(play, "Ines", "/begin 2026-06-08", place=group)
    await acts.press(play, "Ines", message=acts.last(play, group))
    return group


async def test_in_private_the_bot_asks_which_group(play: Rehearsal):
    group = await second_group(play)
    said = await plan(play, "move 2 2026-06-11", private=True)
    choice = acts.last(play, play.coach)
    await press(play, "Ines", f"Hill Runners · {TITLE}", place=play.coach)
    told = acts.last(play, play.coach)["text"]

    assert said == "Which group?"
    assert labels(choice) == [f"Hill Runners · {TITLE}", f"Quayside Movers · {TITLE}"]
    assert told.startswith("Hill Runners\nDay 2 comes on Thu 11 June, 06:00, not on Tue 9 June")
    assert await dates(play) == [f"06-{n:02}" for n in range(1, 8)]
    async with play.database.reading() as session:
        other = await challenges.running_challenge(session, ChatId(group.chat_id))
        found = await challenges.days(session, other)
    assert found[1].on_date == date(2026, 6, 11)


async def test_a_group_whose_rights_were_lost_is_not_offered(play: Rehearsal):
    group = await second_group(play)
    play.room.join(play.coach, group, "member")

    said = await plan(play, "", private=True)

    assert said.startswith(f"Quayside Movers\n{TITLE}: planned posts")


async def test_a_private_button_works_for_nobody_else(play: Rehearsal):
    await second_group(play)
    await plan(play, "skip 3", private=True)
    key = acts.keys(acts.last(play, play.coach))[1]
    play.people["Marlow"].has_started = True
    await acts.say(play, "Marlow", "/places earlier", place=play.group)
    await plan(play, "")

    assert await acts.forge(play, "Marlow", key) == [ADMIN_ONLY]
    assert "06-03x" not in await dates(play)


async def test_a_challenge_begins_anew_in_its_group_after_its_end(play: Rehearsal):
    await plan(play, "swap 2 3")
    await plan(play, "post 07:30")
    await acts.say(play, "Petra", "4 rounds + 2")
    await acts.say(play, "Ines", "/finish")
    offer = await plan(play, "copy 2026-07-06")
    await press(play, "Ines", "Start in Quayside Movers")
    begun = acts.last(play)

    assert offer.startswith(f"Let {TITLE} (7 days) begin anew on Monday 6 July 2026, posted at")
    assert begun["text"].startswith(f"{TITLE} is set: day 1 comes on Monday 6 July 2026 at 07:30")
    assert labels(begun)[0] == "Full"
    async with play.database.reading() as session:
        chat_id = ChatId(play.group.chat_id)
        running = await Shelf().of_chat(session, chat_id)
        [second, first] = await challenges.challenges_of_chat(session, chat_id)
    assert running.written[2].title == "Steady oars"
    assert (second.start_date, first.start_date) == (date(2026, 7, 6), acts.START)
    assert second.content == first.content


async def test_old_places_stay_within_reach_while_the_next_challenge_runs(play: Rehearsal):
    await acts.say(play, "Petra", "4 rounds + 2")
    go_to(play, 2, 5, 50)
    await quiet(play)
    await acts.say(play, "Ines", "/finish")
    await plan(play, "copy 2026-06-02")
    await press(play, "Ines", "Start in Quayside Movers")
    go_to(play, 2, 7)
    await quiet(play)

    [now] = await acts.say(play, "Petra", "/places")
    [which] = await acts.say(play, "Petra", "/places earlier")
    await press(play, "Petra", f"{TITLE}, Mon 1 June 2026")

    assert now.splitlines() == ["No day has a result yet.", "Earlier challenges: /places earlier"]
    assert which == "Which earlier challenge?"
    shown = acts.last(play)["text"]
    assert shown.startswith(f"{TITLE}: the final result")
    assert "1. Petra · 1 point · 1 done" in shown


async def test_without_an_earlier_challenge_places_say_so(play: Rehearsal):
    assert await acts.say(play, "Petra", "/places earlier") == [
        "There was no earlier challenge here."
    ]


async def test_a_challenge_is_copied_into_another_group_in_private_only(play: Rehearsal):
    other = play.room.add_group("Hill Runners")
    play.room.put_in_group(play.coach, other, "creator")
    await acts.say(play, "Ines", "/begin", place=other)
    await acts.press(play, "Ines", message=acts.last(play, other))
    await acts.say(play, "Ines", "/finish", place=other)

    await plan(play, "copy 2026-07-06", private=True)
    await press(play, "Ines", f"Quayside Movers · {TITLE}", place=play.coach)
    offer = acts.last(play, play.coach)
    key = acts.keys(offer)[0]
    for _ in range(2):
        play.room.press(play.coach, play.coach, offer["message_id"], key)
    await quiet(play)

    assert labels(offer) == ["Start in Hill Runners"]
    assert acts.last(play, play.coach)["text"] == (
        f"{TITLE} is set in Hill Runners: day 1 comes on Monday 6 July 2026 at 06:00 "
        "(Europe/Lisbon). The group has the invitation."
    )
    invitation = acts.last(play, other)
    assert invitation["text"].startswith(f"{TITLE} is set: day 1 comes on Monday 6 July 2026")
    assert labels(invitation) == ["Full", "Lighter", "Bodyweight"]
    assert play.room.toasts[-1].text == "That button is out of date."


async def test_the_calendar_file_comes_in_private_and_follows_the_plan(play: Rehearsal):
    post = await posted_day(play)
    before = await acts.press(play, "Ines", message=post)
    first = calendar(play, play.coach)
    await plan(play, "move 3 2026-06-04")
    await acts.press(play, "Ines", message=post)
    second = calendar(play, play.coach)

    assert before == ["I have sent it to you in private."]
    assert [event.start.date() for event in first] == [date(2026, 6, n) for n in range(1, 8)]
    assert [e.start.date().day for e in second] == [1, 2, 4, 5, 6, 7, 8]
    assert [e["UID"] for e in second] == [e["UID"] for e in first]
    assert {e["SEQUENCE"] for e in second} == {1 + next(iter({e["SEQUENCE"] for e in first}))}
    assert first[0]["SUMMARY"] == "Day 1: Round the bollards"
    assert {event["DTSTART"].params["TZID"] for event in first} == {"Europe/Lisbon"}
    assert first[0].start.astimezone(UTC) == datetime(2026, 6, 1, 5, tzinfo=UTC)


async def posted_day(play: Rehearsal) -> Json:
    """Go on until day 2 is posted and give the post."""
    go_to(play, 2, 6)
    await quiet(play)
    return acts.last(play)


def calendar(play: Rehearsal, place) -> list:
    message = acts.last(play, place)
    document = message["document"]
    assert (document["file_name"], document["mime_type"]) == ("days.ics", "text/calendar")
    assert message["caption"].startswith(TITLE)
    stored = play.room.files.by_id(document["file_id"])
    return Calendar.from_ical(stored.upload.data).walk("VEVENT")


async def test_who_has_no_private_chat_is_told_and_gets_the_file_by_command(play: Rehearsal):
    post = await posted_day(play)
    [toast] = await acts.press(play, "Marlow", message=post)
    await acts.say(play, "Marlow", "/calendar")

    assert toast.startswith("Please press Start in a private chat with me first")
    assert len(calendar(play, play.group)) == 7


async def test_a_score_for_a_date_without_a_day_is_not_recorded(play: Rehearsal):
    await plan(play, "move 2 2026-06-04")
    go_to(play, 3, 12)
    await quiet(play)
    [yesterday] = await acts.say(play, "Petra", "yesterday 4 rounds + 2")
    await plan(play, "skip 3")
    [skipped] = await acts.say(play, "Petra", "day 3: lowest 9")

    assert yesterday == (
        "Petra, the challenge had no day on Tue 2 June, so I recorded nothing. "
        "Name the day you mean, for example: day 1: and your score."
    )
    assert await acts.result(play, "Petra") is None
    assert "called off" in skipped


async def test_a_plan_of_sixty_days_fits_into_one_message(play: Rehearsal):
    async with play.database.work() as session:
        stored = await challenges.running_challenge(session, ChatId(play.group.chat_id))
        running = await Shelf().open(session, stored)
    long = running.content.model_copy(update={"days": (running.content.days * 9)[:60]})
    await acts.say(play, "Ines", "/finish")
    async with play.database.work() as session:
        days = plan_days(long.head, long.days, date(2026, 6, 2))
        await challenges.start_challenge(
            session,
            chat_id=ChatId(play.group.chat_id),
            title=TITLE,
            tz="Europe/Lisbon",
            start_date=date(2026, 6, 2),
            content=long.model_dump_json(),
            thread_id=None,
            organiser_id=stored.organiser_id,
            days=days,
            posts=plan_posts(long.head, days),
            now=play.room.clock(),
        )
        await session.commit()

    said = await acts.say(play, "Ines", "/plan")

    assert len(said) == 1
    assert said[0].splitlines()[-1].endswith("later posts")
