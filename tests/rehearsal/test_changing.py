from datetime import timedelta

import pytest
from telegram import InlineKeyboardButton, InlineKeyboardMarkup, ReactionTypeEmoji
from telegram.error import BadRequest

from bot.rehearsal.people import Status

KEYS = InlineKeyboardMarkup([[InlineKeyboardButton("Key", callback_data="k")]])


@pytest.fixture
async def post(scene, bot):
    return await bot.send_message(scene.group.chat_id, "Day 1", reply_markup=KEYS)


async def test_edit_changes_text_and_drops_keys_that_are_not_given(post):
    edited = await post.edit_text("<i>Day 2</i>", parse_mode="HTML")

    assert (edited.text_html, edited.reply_markup) == ("<i>Day 2</i>", None)
    assert edited.edit_date == post.date


async def test_keys_can_be_taken_away_alone(scene, post):
    edited = await post.edit_reply_markup(None)

    assert (edited.text, edited.reply_markup, edited.edit_date) == ("Day 1", None, None)
    assert "reply_markup" not in scene.room.messages(scene.group)[0]


@pytest.mark.parametrize(
    ("reaction", "refusal"),
    [
        pytest.param([{"type": "emoji"}], "can't parse ReactionType", id="no_emoji"),
        pytest.param([{"type": "paid"}], "REACTION_INVALID", id="paid"),
        pytest.param(
            [{"type": "custom_emoji", "custom_emoji_id": "5"}], "REACTION_INVALID", id="custom"
        ),
        pytest.param([{"type": "custom_emoji"}], "can't parse ReactionType", id="custom_no_id"),
        pytest.param(
            [{"type": "emoji", "emoji": "👍", "big": True}], "no parameter", id="unknown_field"
        ),
        pytest.param([{"type": "sticker", "emoji": "👍"}], "reaction", id="unknown_type"),
        pytest.param("👍", "reaction", id="bare_emoji"),
        pytest.param("[", "must be JSON", id="broken_json"),
    ],
)
async def test_a_reaction_that_is_none_is_refused(web, scene, post, reaction, refusal):
    body = {"chat_id": post.chat_id, "message_id": post.message_id, "reaction": reaction}

    answer = (await web.post(f"/bot{scene.room.token}/setMessageReaction", json=body)).json()

    assert (answer["ok"], answer["error_code"]) == (False, 400)
    assert refusal in answer["description"]
    assert scene.group.talk.reactions == {}


async def test_reaction_must_be_one_the_group_allows(scene, bot, post):
    scene.group.allowed_reactions = frozenset({"🔥"})

    with pytest.raises(BadRequest, match=r"(?i)reaction_invalid"):
        await post.set_reaction("👍")
    await post.set_reaction("🔥")

    full = await bot.get_chat(scene.group.chat_id)
    assert [reaction.emoji for reaction in full.available_reactions] == ["🔥"]
    assert scene.group.talk.reactions == {1: {scene.room.bot.user_id: ["🔥"]}}


async def test_nobody_reacts_to_a_service_message(scene, bot):
    newcomer = scene.room.add_person("Wilma")
    scene.room.join(newcomer, scene.group)
    [news] = scene.room.messages(scene.group)

    with pytest.raises(BadRequest, match=r"(?i)reaction_invalid"):
        await bot.set_message_reaction(scene.group.chat_id, news["message_id"], "👍")


@pytest.mark.parametrize(
    ("change", "message"),
    [
        pytest.param(
            lambda post: post.edit_text("Day 1", reply_markup=KEYS),
            "Message is not modified",
            id="same_text",
        ),
        pytest.param(
            lambda post: post.edit_reply_markup(KEYS), "Message is not modified", id="same_keys"
        ),
        pytest.param(
            lambda post: post.get_bot().edit_message_text("x", post.chat_id, 99),
            "Message to edit not found",
            id="no_such_message",
        ),
        pytest.param(
            lambda post: post.get_bot().delete_message(post.chat_id, 99),
            "Message to delete not found",
            id="nothing_to_delete",
        ),
        pytest.param(
            lambda post: post.get_bot().pin_chat_message(post.chat_id, 99),
            "Message to pin not found",
            id="nothing_to_pin",
        ),
        pytest.param(
            lambda post: post.get_bot().unpin_chat_message(post.chat_id),
            "Message to unpin not found",
            id="nothing_pinned",
        ),
        pytest.param(
            lambda post: post.get_bot().set_message_reaction(post.chat_id, 99, "👍"),
            "Message to react not found",
            id="nothing_to_react_to",
        ),
        pytest.param(lambda post: post.set_reaction("✅"), "Reaction_invalid", id="reaction"),
        pytest.param(
            lambda post: post.set_reaction(["👍", "🔥"]), "Reactions_too_many", id="two_reactions"
        ),
        pytest.param(lambda post: post.edit_text(""), "Message text is empty", id="empty"),
    ],
)
async def test_wrong_change_is_refused(post, change, message):
    with pytest.raises(BadRequest, match=f"(?i){message}"):
        await change(post)


async def test_emoji_outside_the_list_is_no_reaction(web, scene, post):
    body = {
        "chat_id": post.chat_id,
        "message_id": post.message_id,
        "reaction": [{"type": "emoji", "emoji": "✅"}],
    }

    answer = await web.post(f"/bot{scene.room.token}/setMessageReaction", json=body)

    assert answer.json()["description"] == "Bad Request: REACTION_INVALID"


async def test_other_peoples_messages_cannot_be_edited(scene, bot):
    said = scene.room.say(scene.player, scene.group, "45")

    with pytest.raises(BadRequest, match="can't be edited"):
        await bot.edit_message_text("54", scene.group.chat_id, said["message_id"])


async def test_picture_has_no_text_to_edit(scene, bot):
    said = scene.room.say(scene.player, scene.group, caption="45")
    said["from"] = scene.room.bot.as_user()

    with pytest.raises(BadRequest, match=r"(?i)there is no text in the message to edit"):
        await bot.edit_message_text("54", scene.group.chat_id, said["message_id"])


async def test_deleted_message_is_gone_and_its_number_too(scene, bot, post):
    await post.delete()
    after = await bot.send_message(scene.group.chat_id, "again")

    assert [m["message_id"] for m in scene.room.messages(scene.group)] == [2] == [after.message_id]


async def test_old_message_cannot_be_deleted(scene, post):
    scene.clock.advance(timedelta(hours=48, seconds=1))

    with pytest.raises(BadRequest, match="can't be deleted"):
        await post.delete()


async def test_only_an_administrator_deletes_what_others_wrote(scene, bot):
    said = scene.room.say(scene.player, scene.group, "45")
    scene.group.bot_status = Status.MEMBER
    with pytest.raises(BadRequest, match="can't be deleted"):
        await bot.delete_message(scene.group.chat_id, said["message_id"])

    scene.group.bot_status = Status.ADMINISTRATOR

    assert await bot.delete_message(scene.group.chat_id, said["message_id"])


async def test_reaction_replaces_the_one_before(scene, post):
    await post.set_reaction(ReactionTypeEmoji("👍"))
    await post.set_reaction(ReactionTypeEmoji("❤\u200d🔥"))

    assert scene.group.talk.reactions == {1: {scene.room.bot.user_id: ["❤\u200d🔥"]}}


async def test_pin_shows_in_the_chat_and_needs_an_administrator(scene, bot, post):
    await post.pin(disable_notification=True)
    pinned = (await bot.get_chat(scene.group.chat_id)).pinned_message
    await post.unpin()
    scene.group.bot_status = Status.MEMBER

    assert pinned.message_id == post.message_id
    assert "pinned_message" in scene.room.messages(scene.group)[-1]
    with pytest.raises(BadRequest, match=r"(?i)not enough rights"):
        await post.pin()


async def test_press_is_answered_once_and_shown_to_who_pressed(scene, bot, post):
    query_id = scene.room.press(scene.player, scene.group, post.message_id, "k")

    await bot.answer_callback_query(query_id, "Noted", show_alert=True)

    (toast,) = scene.room.toasts
    assert (toast.user_id, toast.text, toast.is_alert) == (scene.player.user_id, "Noted", True)
    with pytest.raises(BadRequest, match=r"(?i)query is too old"):
        await bot.answer_callback_query(query_id)


async def test_late_and_unknown_presses_are_too_old(scene, bot, post):
    query_id = scene.room.press(scene.player, scene.group, post.message_id, "k")
    scene.clock.advance(timedelta(seconds=151))

    for one in (query_id, "123"):
        with pytest.raises(BadRequest, match=r"(?i)query ID is invalid"):
            await bot.answer_callback_query(one)


async def test_toast_has_at_most_200_characters(scene, bot, post):
    query_id = scene.room.press(scene.player, scene.group, post.message_id, "k")

    with pytest.raises(BadRequest, match=r"(?i)message_too_long"):
        await bot.answer_callback_query(query_id, "x" * 201)
