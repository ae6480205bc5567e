"""Starting and fetching: only a refused token ends it, and nothing is confirmed unkept."""

from __future__ import annotations

import traceback

import pytest

from bot.app import COMMANDS, ORGANISER_COMMANDS, PRIVATE_COMMANDS, Rungbell
from bot.fetching import ALLOWED_UPDATES, Fetcher, TokenRefused
from bot.rehearsal.start import Rehearsal
from bot.stopping import Stop
from tests.bot import acts

SCORE = "3 rounds + 45"


async def test_at_the_start_the_webhook_goes_and_the_commands_are_told(play: Rehearsal):
    await play.rungbell.stop()
    play.room.menus.clear()
    play.room.updates.set_webhook("http://127.0.0.1:1/hook")

    await play.restart()
    play.room.say(play.people["Marlow"], play.group, SCORE)
    said = await acts.answers(play, 0)

    everyone = play.room.menus[("default", "")]
    organisers = play.room.menus[("all_chat_administrators", "")]
    private = play.room.menus[("all_private_chats", "")]
    assert {menu["command"] for menu in private} == {*COMMANDS, *PRIVATE_COMMANDS}
    assert play.room.updates.webhook_url == ""
    assert {menu["command"]: menu["description"] for menu in everyone} == COMMANDS
    assert {menu["command"] for menu in organisers} == {*COMMANDS, *ORGANISER_COMMANDS}
    assert len(said) == 1


async def test_without_menus_the_bot_works_all_the_same(play: Rehearsal):
    await play.rungbell.stop()
    play.room.answer_next("setMyCommands", status=429, description="Too Many Requests", times=3)

    await play.restart()

    assert len(await acts.say(play, "Marlow", SCORE)) == 1


async def test_it_asks_for_just_the_kinds_it_handles(play: Rehearsal):
    assert play.room.updates.allowed == ALLOWED_UPDATES


@pytest.mark.parametrize("token", ["1000001:another", "nonsense"])
async def test_a_wrong_token_is_refused_at_the_start(play: Rehearsal, token: str):
    rungbell = Rungbell(
        token=token,
        api_url=f"{play.url}/bot",
        database=play.database,
        content=play.content,
        clock=play.room.clock,
    )

    with pytest.raises(TokenRefused) as info:
        await rungbell.start()
    await rungbell.stop()

    assert token not in "".join(traceback.format_exception(info.value))


async def test_a_token_taken_back_ends_the_run(play: Rehearsal):
    play.room.answer_next("getUpdates", status=401, description="Unauthorized")
    play.room.say(play.people["Marlow"], play.group, SCORE)

    with pytest.raises(TokenRefused):
        await play.rungbell.run()


@pytest.mark.parametrize(
    ("status", "description"),
    [
        pytest.param(409, "Conflict: terminated by other getUpdates request", id="conflict"),
        pytest.param(502, "Bad Gateway", id="bad_gateway"),
        pytest.param(429, "Too Many Requests: retry after 0", id="too_many"),
    ],
)
async def test_fetching_goes_on_after_a_refusal(play: Rehearsal, status: int, description: str):
    play.room.answer_next(
        "getUpdates", status=status, description=description, parameters={"retry_after": 0}
    )

    assert len(await acts.say(play, "Marlow", SCORE)) == 1


@pytest.mark.parametrize("how", ["drop_next", "garble_next"])
async def test_an_answer_lost_on_the_way_is_fetched_again(
    play: Rehearsal, how: str, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr("bot.fetching._SHORTEST_WAIT_S", 0.01)
    getattr(play.room, how)("getUpdates", carried_out=True)

    said = [
        *await acts.say(play, "Marlow", SCORE),
        *await acts.say(play, "Petra", "2 rounds + 10"),
    ]

    assert [text.partition(",")[0] for text in said] == ["Marlow", "Petra"]


async def test_what_could_not_be_kept_is_not_confirmed(play: Rehearsal):
    await play.rungbell.stop()
    play.room.say(play.people["Marlow"], play.group, SCORE)
    [update] = play.room.updates.pending

    async def fail(_updates: object) -> int:
        raise OSError("disk full")

    with pytest.raises(OSError, match="disk full"):
        await Fetcher(f"{play.url}/bot", play.room.token, fail, Stop()).run()

    assert play.room.updates.pending == [update]
    await play.restart()
    assert len(await acts.answers(play, 0)) == 1


async def test_more_updates_than_one_answer_holds_all_arrive(play: Rehearsal):
    for number in range(120):
        play.room.say(play.people["Marlow"], play.group, f"good morning {number}")
    play.room.say(play.people["Petra"], play.group, "2 rounds + 10")

    assert len(await acts.answers(play, 0)) == 1
    assert len(await acts.updates_kept(play)) == 121
