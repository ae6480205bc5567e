"""Files sent in private: shorthand, a day, a challenge; whatever else is left alone."""

from __future__ import annotations

import pytest

from bot.app import _file_url
from bot.rehearsal.files import Upload
from bot.rehearsal.start import Rehearsal, quiet
from content.bundle import MOST_ZIP_BYTES, pack
from content.loading import DEMO, load_challenge
from tests.bot import acts
from tests.bot.desk_acts import GOOD, REST, a_draft, a_zip, desk, send, write

CONTENT = load_challenge(DEMO)
DAY = (DEMO / "day-1.yaml").read_bytes()
BOMB = b"kind: &a [x]\ntitle: *a\n"


@pytest.fixture
async def room(eve: Rehearsal) -> Rehearsal:
    """The evening before, with a draft of two days of which the first is written."""
    eve.room.start_private(eve.coach)
    await quiet(eve)
    await a_draft(eve, GOOD, "")
    return eve


@pytest.mark.parametrize(
    ("name", "data", "caption", "number"),
    [
        pytest.param("x.txt", b"AMRAP 9: 9 burpees", None, 2, id="asked_for"),
        pytest.param("x.txt", b"AMRAP 9: 9 burpees", "1", 1, id="caption"),
        pytest.param("X.TXT", b"AMRAP 9: 9 burpees", "/write 1", 1, id="caption_as_command"),
        pytest.param("x.yaml", DAY, "day 1", 1, id="yaml"),
        pytest.param("x.yml", DAY, None, 2, id="yml"),
    ],
)
async def test_a_day_may_come_as_a_file(room: Rehearsal, name, data, caption, number: int):
    said = await send(room, name, data, caption=caption)

    assert said.startswith(f"Day {number} of 2 · ")
    day = (await desk(room)).draft.days[number - 1].day
    assert day is not None
    assert (day == CONTENT.days[0]) == (data == DAY)


async def test_the_name_of_a_file_tells_the_day_where_nothing_else_does(room: Rehearsal):
    await write(room, REST)  # then no day is asked for

    said = await send(room, "day-1.yaml", DAY)
    unknown = await send(room, "monday.yaml", DAY)

    assert said.startswith("Day 1 of 2 · Round the bollards")
    # Showing day 1 asked for it anew, so a file without a number is taken for it too.
    assert unknown.startswith("Day 1 of 2 · Round the bollards")


async def test_a_file_whose_day_nobody_said_is_asked_about(eve: Rehearsal):
    eve.room.start_private(eve.coach)
    await quiet(eve)

    assert (await send(eve, "monday.yaml", DAY)).startswith("Which day is that?")


async def test_a_text_with_mistakes_is_kept_like_a_message(room: Rehearsal):
    said = await send(room, "x.txt", b"AMRAP 9: 9 blobs")

    assert "I do not know" in said
    assert (await desk(room)).text_of(2) == "AMRAP 9: 9 blobs"


async def test_a_challenge_as_a_zip_becomes_the_draft_where_there_is_none(eve: Rehearsal):
    eve.room.start_private(eve.coach)
    await quiet(eve)

    said = await send(eve, "week.zip", pack(CONTENT))

    assert said.startswith("I have taken 7 days from the file.")
    assert "Your draft: Seven Mornings on the Quay" in said
    assert said.endswith("or take it as a file.")


async def test_a_zip_never_takes_the_place_of_what_is_written(room: Rehearsal):
    before = (await desk(room)).draft

    said = await send(room, "week.zip", pack(CONTENT))

    assert said.startswith("You have a draft already.")
    assert (await desk(room)).draft == before


@pytest.mark.parametrize(
    ("name", "data", "answer"),
    [
        pytest.param("x.zip", b"PK", "I cannot open that zip.", id="broken"),
        pytest.param("x.zip", a_zip({"../a": b""}), "“../a” does not belong there.", id="above"),
        pytest.param("x.zip", a_zip({"a.exe": b""}), "“a.exe” does not belong", id="name"),
        pytest.param(
            "x.zip", bytes(MOST_ZIP_BYTES + 1), "That file is too large: at most 1024", id="large"
        ),
        pytest.param("x.txt", b"\xff\xfe\x00", "That file is not UTF-8 text.", id="no_text"),
        pytest.param("x.yaml", BOMB, "• day.yaml, line 2: aliases", id="alias"),
        pytest.param("x.yaml", b"a: [", "I cannot take that as it is", id="no_yaml"),
        pytest.param("x.txt", b"a" * 300_000, "That file is too large", id="long_text"),
    ],
)
async def test_a_file_that_cannot_be_taken_is_refused_and_changes_nothing(
    eve: Rehearsal, name: str, data: bytes, answer: str
):
    eve.room.start_private(eve.coach)
    await quiet(eve)
    await write(eve, "/write 1")
    before = (await desk(eve)).draft

    said = await send(eve, name, data)

    assert answer in said
    assert "rungbell-" not in said  # the folder it lay in for a moment
    assert (await desk(eve)).draft == before


async def test_a_file_that_cannot_be_fetched_is_asked_for_again(room: Rehearsal):
    room.room.drop_next("getFile")

    said = await send(room, "x.txt", b"AMRAP 9: 9 burpees")

    assert said == "I could not fetch that file. Please send it again."


async def test_the_score_beside_another_kind_of_file_is_still_a_score(play: Rehearsal):
    await acts.say(play, "Petra", document=Upload("proof.pdf", b"%PDF"), caption="3 rounds + 45")

    assert await acts.score(play, "Petra") is not None


async def test_a_file_in_the_group_is_not_fetched(play: Rehearsal):
    await acts.say(play, "Ines", document=Upload("day-2.yaml", DAY), caption="day 2")

    assert play.room.calls_of("getFile") == []


async def test_a_file_of_another_kind_is_turned_down_only_where_a_day_is_asked_for(
    room: Rehearsal,
):
    asked = await send(room, "proof.pdf", b"%PDF")
    await write(room, REST)
    not_asked = await send(room, "proof.pdf", b"%PDF")

    assert asked == "I take .txt, .yaml and .zip."
    assert not_asked == ""


@pytest.mark.parametrize(
    ("api", "files"),
    [
        ("https://api.telegram.org/bot", "https://api.telegram.org/file/bot"),
        ("http://127.0.0.1:8323/bot", "http://127.0.0.1:8323/file/bot"),
        ("http://host/some/where/bot", "http://host/some/where/file/bot"),
    ],
)
def test_files_are_fetched_beside_the_methods(api: str, files: str):
    """Source: Bot API, getFile."""
    assert _file_url(api) == files
