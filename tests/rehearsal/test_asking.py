import pytest
from telegram import (
    BotCommand,
    BotCommandScopeAllGroupChats,
    BotCommandScopeChat,
    BotCommandScopeChatAdministrators,
)
from telegram.error import BadRequest

from bot.rehearsal.people import Status
from bot.rehearsal.profile import menu_for


async def test_bot_knows_itself(scene, bot):
    me = await bot.get_me()

    assert (me.id, me.is_bot, me.username) == (700100, True, scene.room.bot.username)
    assert me.can_read_all_group_messages is True


async def test_chat_is_described(scene, bot):
    group = await bot.get_chat(scene.group.chat_id)
    person = await bot.get_chat(scene.player.user_id)

    assert (group.type, group.title) == ("supergroup", "Quayside Movers")
    assert (person.type, person.first_name) == ("private", "Tobias")


async def test_members_have_their_status(scene, bot):
    outsider = scene.room.add_person("Marguerite")
    ids = [scene.coach.user_id, scene.player.user_id, outsider.user_id, scene.room.bot.user_id]

    members = [await bot.get_chat_member(scene.group.chat_id, user_id) for user_id in ids]

    assert [m.status for m in members] == ["creator", "member", "left", "administrator"]
    assert await bot.get_chat_member_count(scene.group.chat_id) == 3


async def test_administrators_leave_out_other_bots(scene, bot):
    other = scene.room.add_person("Helper", username="other_bot", is_bot=True)
    scene.room.put_in_group(other, scene.group, "administrator")

    admins = await bot.get_chat_administrators(scene.group.chat_id)

    assert [a.user.id for a in admins] == [scene.coach.user_id, scene.room.bot.user_id]


@pytest.mark.parametrize(
    ("ask", "message"),
    [
        pytest.param(lambda bot: bot.get_chat(-5), "Chat not found", id="chat"),
        pytest.param(lambda bot: bot.get_chat_member(5001, 404), "User not found", id="member"),
        pytest.param(
            lambda bot: bot.get_chat_administrators(5001), "no administrators", id="private_admins"
        ),
        pytest.param(lambda bot: bot.leave_chat(5001), "private chats", id="leave_private"),
        pytest.param(lambda bot: bot.get_file("nothing"), "Wrong file identifier", id="file"),
    ],
)
async def test_wrong_question_is_refused(bot, ask, message):
    with pytest.raises(BadRequest, match=f"(?i){message}"):
        await ask(bot)


async def test_bot_can_leave(scene, bot):
    await bot.leave_chat(scene.group.chat_id)

    assert scene.group.bot_status is Status.LEFT


async def test_menus_are_kept_by_scope_and_language(scene, bot):
    in_groups = BotCommandScopeAllGroupChats()
    await bot.set_my_commands([BotCommand("join", "Take part")], scope=in_groups)
    await bot.set_my_commands(
        [BotCommand("join", "Mitmachen")], scope=in_groups, language_code="de"
    )
    await bot.set_my_commands(
        [BotCommand("post", "Post now")],
        scope=BotCommandScopeChatAdministrators(scene.group.chat_id),
    )

    shown = [menu_for(scene.room, who, scene.group) for who in (scene.player, scene.coach)]

    assert [menu[0]["description"] for menu in shown] == ["Mitmachen", "Post now"]
    assert (await bot.get_my_commands(scope=in_groups))[0].description == "Take part"
    assert await bot.get_my_commands() == ()


async def test_deleted_menu_is_gone(scene, bot):
    scope = BotCommandScopeChat(scene.group.chat_id)
    await bot.set_my_commands([BotCommand("join", "Take part")], scope=scope)

    await bot.delete_my_commands(scope=scope)

    assert await bot.get_my_commands(scope=scope) == ()


@pytest.mark.parametrize(
    ("commands", "message"),
    [
        pytest.param([("Join", "Take part")], "BOT_COMMAND_INVALID", id="capital"),
        pytest.param([("join", "x" * 257)], "BOT_COMMAND_DESCRIPTION_INVALID", id="long"),
        pytest.param([("join", "x")] * 101, "BOT_COMMANDS_TOO_MUCH", id="too_many"),
    ],
)
async def test_wrong_menu_is_refused(web, scene, commands, message):
    body = {"commands": [{"command": c, "description": d} for c, d in commands]}

    answer = await web.post(f"/bot{scene.room.token}/setMyCommands", json=body)

    assert answer.status_code == 400
    assert answer.json()["description"] == f"Bad Request: {message}"


async def test_profile_texts_have_limits(scene, bot):
    await bot.set_my_description("x" * 512)
    await bot.set_my_short_description("Rings every day", language_code="en")

    assert scene.room.profile[("short_description", "en")] == "Rings every day"
    with pytest.raises(BadRequest, match=r"(?i)too long"):
        await bot.set_my_description("x" * 513)
    with pytest.raises(BadRequest, match=r"(?i)too long"):
        await bot.set_my_short_description("x" * 121)


async def test_nothing_works_after_logging_out(bot):
    await bot.close()
    await bot.log_out()

    with pytest.raises(BadRequest, match="Logged out"):
        await bot.get_me()
