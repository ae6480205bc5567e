"""A challenge is written in the private chat: guided, read back, asked about, kept, begun."""

from __future__ import annotations

import io
import zipfile
from datetime import timedelta

import pytest

from bot.command_line import main
from bot.rehearsal.start import Rehearsal, quiet
from content.bundle import read_bundle
from content.loading import movement_library
from store import challenges
from tests.bot import acts
from tests.bot.desk_acts import (
    GOOD,
    REST,
    UNKNOWN,
    UNSURE,
    a_draft,
    desk,
    labels,
    press_data,
    tap,
    with_buttons,
    write,
    write_all,
)

STALE = "That button is out of date."
ADMIN_ONLY = "Only administrators of this group can do that."


@pytest.fixture
async def room(eve: Rehearsal) -> Rehearsal:
    """The evening before, nothing begun; the coach has opened the private chat."""
    eve.room.start_private(eve.coach)
    await quiet(eve)
    return eve


async def running_titles(play: Rehearsal) -> list[str]:
    async with play.database.reading() as session:
        return [each.title for each in await challenges.running_challenges(session)]


async def test_a_draft_is_asked_for_step_by_step(room: Rehearsal):
    first = await write(room, "/write")
    title = await write(room, "Harbour week")
    zone = await write(room, "Lisbon")

    assert "Day 3: nothing yet" in first
    assert first.endswith("Send me the title as your next message.")
    assert title.startswith("The title is “Harbour week” now.")
    assert "where does your group live?" in title
    assert "Europe/Lisbon · post 06:00, close 05:45" in zone
    assert "Next: day 1." in zone


async def test_a_town_nobody_knows_is_asked_about_with_buttons(room: Rehearsal):
    await write_all(room, "/write", "Harbour week")

    said = await write(room, "Lisboa")
    taken = await tap(room, "Europe/Lisbon")

    assert said.startswith("I know no time zone “Lisboa”.")
    assert taken.startswith("The times are those of Europe/Lisbon now.")


async def test_a_day_is_read_back_as_the_group_would_see_it_with_what_was_assumed(
    room: Rehearsal,
):
    said = await a_draft(room, f"{GOOD}\nlighter: knee push-ups", "")

    assert "Day 1 of 2 · Round the pier" in said
    assert "• 10 push-ups\n• 20 air squats" in said
    assert "• 10 knee push-ups" in said
    assert "• The cautions are those of the movements." in said
    assert said.endswith("or “rest day: Walk, sleep.”")
    assert "Next: day 2." in said


async def test_the_days_follow_one_another_until_all_are_there(room: Rehearsal):
    said = await a_draft(room, GOOD, REST)

    assert "Day 2 of 2 · Rest day" in said
    assert said.endswith("or take it as a file.")
    assert {"Review", "Begin", "File"} <= set(labels(room))


async def test_a_mistake_is_told_with_its_place_and_nothing_is_lost(room: Rehearsal):
    said = await a_draft(room, "Round the pier\nAMRAP 12: 10 push-ups, 12 blobs", "")

    assert "I could not make a day of it yet." in said
    assert "Your text, kept:\nRound the pier\nAMRAP 12: 10 push-ups, 12 blobs" in said
    assert "Line 2: AMRAP 12: 10 push-ups, 12 blobs\n→ I do not know “blobs”" in said
    overview = await write(room, "/write")
    assert "Day 1: there is something to put right" in overview


async def test_a_word_that_is_not_sure_is_answered_by_its_button(room: Rehearsal):
    asked = await a_draft(room, UNSURE, "")
    answered = await tap(room, "reverse lunge")

    assert "→ Which “lunges”? Taken as forward lunges for now" in asked
    assert "• 20 reverse lunges" in answered
    assert "Next: day 2." in answered
    assert (await desk(room)).text_of(1) == UNSURE.replace("lunges", "reverse lunges")


@pytest.mark.parametrize(
    ("answer", "line"),
    [
        pytest.param("the second", "• 20 reverse lunges", id="ordinal"),
        pytest.param("side lunges", "• 20 side lunges", id="name"),
        pytest.param("AMRAP 12: 10 push-ups, 30 sit-ups", "• 30 sit-ups", id="line_anew"),
        pytest.param("AMRAP 9:\n9 burpees", "• 9 burpees", id="day_anew"),
    ],
)
async def test_it_is_answered_in_words_too(room: Rehearsal, answer: str, line: str):
    await a_draft(room, UNSURE, "")

    said = await write(room, answer)

    assert line in said
    assert "Next: day 2." in said


async def test_words_that_fit_nowhere_leave_the_text_as_it_was(room: Rehearsal):
    await a_draft(room, UNSURE, "")

    said = await write(room, "let me think about that")

    assert said.startswith("“let me think about that” does not fit there")
    assert (await desk(room)).text_of(1) == UNSURE


async def test_a_new_movement_is_defined_by_pattern_easier_way_and_standard(room: Rehearsal):
    await a_draft(room, UNKNOWN, "")

    pattern = await tap(room, "“crab reaches” is a movement of my own")
    option = await tap(room, "core")
    standard = await tap(room, "bird dog")
    said = await write(room, "your hand touches the other foot")

    assert pattern == "“crab reaches” as a movement of your own: what does it train?"
    assert option.startswith("What is an easier way to do “crab reaches”, without kit?")
    assert standard.startswith("When does one “crab reaches” count?")
    assert "• 12 crab reaches" in said
    [own] = (await desk(room)).draft.movements
    assert (own.id, own.standard) == ("crab-reach", "Your hand touches the other foot.")
    assert own.options[0].movement == "bird-dog"


async def test_the_easier_way_of_a_new_movement_may_be_said_in_words(room: Rehearsal):
    await a_draft(room, UNKNOWN, "")
    await write(room, "it is a new movement")
    await tap(room, "core")

    await write(room, "Lift one hand only")
    said = await write(room, "hand touches foot; both sides")

    assert "• 12 crab reaches" in said
    [own] = (await desk(room)).draft.movements
    assert own.options[0].name == "Lift one hand only"


async def test_a_button_of_an_earlier_text_does_nothing(room: Rehearsal):
    await a_draft(room, UNSURE, "")
    old = with_buttons(room)
    await write(room, f"/write 1 {GOOD}")

    toasts = await press_data(room, "Ines", old, acts.keys(old)[0])

    assert toasts == [STALE]
    assert (await desk(room)).text_of(1) == GOOD


@pytest.mark.parametrize(
    "data", ["d:is:1:0:00000000:air-squat", "d:is:9:0:x:y", "d:dance", "d:::"]
)
async def test_forged_buttons_do_nothing(room: Rehearsal, data: str):
    await a_draft(room, UNSURE, "")
    before = await desk(room)

    assert await acts.forge(room, "Ines", data, with_buttons(room)) == [STALE]
    assert await desk(room) == before


async def test_a_draft_survives_a_restart(room: Rehearsal):
    await a_draft(room, UNSURE, "")

    await room.restart()
    said = await tap(room, "reverse lunge")

    assert "• 20 reverse lunges" in said


async def test_each_person_has_a_draft_of_their_own(room: Rehearsal):
    await a_draft(room, GOOD, "")
    petra = acts.person(room, "Petra")
    room.room.start_private(petra)
    await quiet(room)

    said = await write(room, "/write", "Petra")

    assert "no title yet" in said
    assert (await desk(room)).text_of(1) == GOOD


async def test_in_a_group_nothing_of_a_draft_is_shown(room: Rehearsal):
    await a_draft(room, GOOD, "")

    [said] = await acts.say(room, "Ines", "/write 1")

    assert said.startswith("Write that to me in a private chat")


async def test_what_was_asked_long_ago_takes_no_message(room: Rehearsal):
    await write(room, "/write")
    room.room.clock.advance(timedelta(hours=2))

    await write(room, "hello there")

    assert (await desk(room)).draft.title is None


async def test_a_sign_of_an_emergency_comes_before_what_was_asked(room: Rehearsal):
    await write_all(room, "/write", "Harbour week", "Lisbon")

    said = await write(room, "help, I have chest pain and my arm is numb")

    assert "stop now" in said
    assert (await desk(room)).text_of(1) == ""


async def test_a_caution_in_a_day_is_no_emergency(room: Rehearsal):
    said = await a_draft(room, f"{GOOD}\ncaution: Stop if you have chest pain.", "")

    assert "Day 1 of 2 · Round the pier" in said


async def test_a_score_is_still_a_score_where_a_day_is_asked_for(play: Rehearsal):
    play.room.start_private(acts.person(play, "Petra"))
    await quiet(play)
    await write_all(play, "/write", "Harbour week", "Lisbon", name="Petra")

    said = await write(play, "3 rounds + 45", "Petra")

    assert said.startswith("Petra, day 1, Full: 3 rounds + 45")
    assert (await desk(play, "Petra")).text_of(1) == ""


@pytest.mark.parametrize(
    ("words", "answer"),
    [
        ("/write 9 AMRAP 5: 5 burpees", "There is no day 9: your draft has days 1 to 2."),
        ("/write days 1", "Day 2 is written and would go."),
        ("/write days 99", "I need a number of days from 1 to 60"),
        ("/write close 06:00", "That does not fit: `close` must differ from `post`"),
        ("/write divisions One, one", "I cannot read divisions in “One, one”."),
        ("/write dance", "I do not know “dance” there."),
        ("/write begin 2020-01-01", "It cannot begin on that date."),
        ("/write zone Lisboa", "I know no time zone “Lisboa”."),
    ],
)
async def test_what_makes_no_sense_changes_nothing(room: Rehearsal, words: str, answer: str):
    await a_draft(room, GOOD, REST)
    before = (await desk(room)).draft

    said = await write(room, words)

    assert said.startswith(answer)
    assert (await desk(room)).draft == before


@pytest.mark.parametrize(
    ("words", "answer"),
    [
        ("/write title Pier week", "The title is “Pier week” now."),
        ("/write divisions Whole, Gentle", "The divisions are Whole, Gentle now."),
        ("/write reminder 19:00", "The times are changed."),
        ("/write cautions\nMind the tide.\nDrink.", "2 cautions stand below every day now."),
        ("/write days 3", "The draft has 3 days now."),
        ("/write clear 1", "Day 1 is empty again."),
    ],
)
async def test_every_part_of_a_draft_can_be_changed(room: Rehearsal, words: str, answer: str):
    await a_draft(room, GOOD, REST)

    assert (await write(room, words)).startswith(answer)


async def test_a_day_can_be_seen_as_it_will_be_posted(room: Rehearsal):
    await a_draft(room, GOOD, REST)

    said = await write(room, "/write preview 1")

    assert "Warm-up · 8:00: 45 s each, 15 s to move on" in said
    assert "Take care" in said
    assert said.endswith("So the group will see day 1.")


async def test_a_draft_is_thrown_away_only_when_that_is_said_twice(room: Rehearsal):
    await a_draft(room, GOOD, REST)

    await write(room, "/write discard")
    asked = (await desk(room)).draft
    said = await tap(room, "Yes, throw it away")

    assert asked is not None
    assert said.startswith("The draft is gone.")
    assert (await desk(room)).draft is None


async def test_the_review_comes_with_the_gravest_first_and_pictures_on_request(room: Rehearsal):
    long = "Round the pier\nAMRAP 50: 10 push-ups, 20 air squats"
    await a_draft(room, long, REST)

    said = await write(room, "/write review")
    await tap(room, "Picture day 1")

    assert "Review: Harbour week" in said
    assert "Day 1: about" in said
    assert "Day 2: rest" in said
    assert "Worth a look\n• Day 1." in said
    [picture] = [m for m in room.room.messages(room.coach) if "photo" in m]
    assert picture["caption"].startswith("What to expect on day 1")
    assert picture["photo"][0]["width"] > 600


@pytest.mark.parametrize(
    "words", ["/write review", "/write file", "/write begin", "/write picture 1"]
)
async def test_an_incomplete_draft_says_what_is_missing(room: Rehearsal, words: str):
    await a_draft(room, GOOD, "")

    said = await write(room, words)

    assert said.startswith("The draft is not complete yet. Next: day 2.")


async def test_the_file_holds_the_challenge_and_the_command_line_reviews_it(
    room: Rehearsal, tmp_path, capsys
):
    await a_draft(room, UNKNOWN, "")
    await tap(room, "“crab reaches” is a movement of my own")
    await tap(room, "core")
    await write_all(room, "bird dog", "your hand touches the other foot", REST)
    await write(room, "/write file")
    [sent] = [m for m in room.room.messages(room.coach) if "document" in m]
    stored = room.room.files.by_id(sent["document"]["file_id"])
    file = tmp_path / "challenge.zip"
    file.write_bytes(stored.upload.data)

    bundle = read_bundle(stored.upload.data)
    with zipfile.ZipFile(io.BytesIO(stored.upload.data)) as archive:
        archive.extractall(tmp_path)

    assert sent["document"]["file_name"] == "challenge.zip"
    assert [day.kind for day in bundle.content.days] == ["workout", "rest"]
    assert [each.id for each in bundle.own] == ["crab-reach"]
    for path in (file, tmp_path / "challenge"):
        main(["review", str(path)])
        assert "Harbour week: no errors. 2 days" in capsys.readouterr().out


async def test_begin_is_offered_for_groups_the_person_organises(room: Rehearsal):
    await a_draft(room, GOOD, REST)
    none = await write(room, "/write begin")
    await acts.say(room, "Ines", "/begin")  # from now on the group is known

    await write(room, "/write begin")
    said = await tap(room, "Begin in Quayside Movers on Mon 1 June")

    assert none.startswith("I know no group that you organise")
    assert said.startswith("Harbour week is set in Quayside Movers: day 1 comes on Monday 1 June")
    assert await running_titles(room) == ["Harbour week"]
    assert acts.texts(room)[-1].startswith("Harbour week is set: day 1 comes on Monday 1 June")
    room.room.clock.move_to(acts.AFTER_FIRST_POST)
    await quiet(room)
    assert acts.texts(room)[-1].startswith("Day 1 of 2 · Round the pier")


async def test_a_date_of_choice_is_offered(room: Rehearsal):
    await a_draft(room, GOOD, REST)
    await acts.say(room, "Ines", "/begin")

    await write(room, "/write begin 2026-07-06")

    assert "Begin in Quayside Movers on Mon 6 July" in labels(room)


async def test_begin_in_the_group_offers_the_administrators_own_draft_beside_the_other(
    room: Rehearsal,
):
    await a_draft(room, GOOD, REST)
    [offer] = await acts.say(room, "Ines", "/begin")
    message = acts.last(room)

    by_another = await acts.press(room, "Marlow", 1, message=message)
    toasts = await acts.press(room, "Ines", 1, message=message)

    assert offer.endswith("Or begin your own draft?")
    assert len(acts.keys(message)) == 2
    assert by_another == ["That button is for somebody else."]
    assert toasts == [""]
    assert await running_titles(room) == ["Harbour week"]


async def test_without_a_complete_draft_begin_offers_the_usual_challenge_only(room: Rehearsal):
    await a_draft(room, GOOD, "")
    [offer] = await acts.say(room, "Ines", "/begin")

    assert "draft" not in offer
    assert len(acts.keys(acts.last(room))) == 1


async def test_who_is_no_administrator_any_more_begins_nothing(room: Rehearsal):
    await a_draft(room, GOOD, REST)
    await acts.say(room, "Ines", "/begin")
    await write(room, "/write begin")
    message = with_buttons(room)
    room.room.put_in_group(room.coach, room.group, "member")
    room.room.clock.advance(timedelta(minutes=30))  # what is known of rights is kept for minutes

    toasts = await press_data(room, "Ines", message, acts.keys(message)[0])

    assert toasts == [ADMIN_ONLY]
    assert await running_titles(room) == []


async def test_somebody_elses_group_cannot_be_named_by_a_forged_button(room: Rehearsal):
    petra = acts.person(room, "Petra")
    room.room.start_private(petra)
    await quiet(room)
    await a_draft(room, GOOD, REST, name="Petra")
    data = f"d:begin:{room.group.chat_id}:739768:{petra.user_id}"

    toasts = await acts.forge(room, "Petra", data, with_buttons(room, "Petra"))

    assert toasts == [ADMIN_ONLY]
    assert await running_titles(room) == []


async def test_begun_twice_begins_once(room: Rehearsal):
    await a_draft(room, GOOD, REST)
    await acts.say(room, "Ines", "/begin")
    await write(room, "/write begin")
    message = with_buttons(room)
    for _ in range(2):
        room.room.press(room.coach, room.coach, message["message_id"], acts.keys(message)[0])
    await quiet(room)

    assert [toast.text for toast in room.room.toasts[-2:]] == ["", STALE]
    assert await running_titles(room) == ["Harbour week"]


async def test_names_of_movements_in_buttons_are_those_of_the_library(room: Rehearsal):
    await a_draft(room, UNSURE, "")

    named = [label for label in labels(room) if label.endswith("lunge")]

    assert set(named) <= {each.name for each in movement_library().values()}
    assert len(named) == 5


async def test_a_day_sent_again_still_knows_the_movements_defined_before(room: Rehearsal):
    defined = f"{UNKNOWN}\nmovement: crab reach; pattern: core; option: bird dog; counts: touch"
    await a_draft(room, defined, "")

    again = await write(room, f"/write 1 {UNKNOWN}")
    other = await write(room, f"/write 1 {defined.replace('touch', 'both hands touch')}")

    assert "• 12 crab reaches" in again
    assert "• 12 crab reaches" in other
    [own] = (await desk(room)).draft.movements
    assert own.standard == "Both hands touch."


async def test_a_question_is_answered_where_a_day_is_asked_for(play: Rehearsal):
    play.room.start_private(acts.person(play, "Petra"))
    await quiet(play)
    await write_all(play, "/write", "Harbour week", "Lisbon", name="Petra")

    said = await write(play, "what's the lighter option for the lunges?", "Petra")

    assert said.startswith("Easier than forward lunges")
    assert (await desk(play, "Petra")).text_of(1) == ""


async def edit_private(play: Rehearsal, text: str, new: str) -> str:
    """Let the coach edit a message of theirs in private; give what was answered."""
    [message] = [m for m in play.room.messages(play.coach) if m.get("text") == text]
    before = len(acts.texts(play, play.coach))
    play.room.edit(play.coach, play.coach, message["message_id"], new)
    return "\n".join(await acts.answers(play, before, play.coach))


@pytest.mark.parametrize("behind", ["", "/write 1 "])
async def test_a_message_with_a_days_text_may_be_edited(room: Rehearsal, behind: str):
    await a_draft(room, f"{behind}{UNKNOWN}", "")

    said = await edit_private(
        room, f"{behind}{UNKNOWN}", f"{behind}{UNKNOWN.replace('crab reaches', 'burpees')}"
    )

    assert "• 12 burpees" in said
    assert "Next: day 2." in said


async def test_an_edit_of_another_message_changes_no_day(room: Rehearsal):
    await a_draft(room, GOOD, "")
    before = await desk(room)

    assert await edit_private(room, "Harbour week", "Pier week") == ""
    assert await edit_private(room, "/write", "/write days 9") == ""
    assert await desk(room) == before
