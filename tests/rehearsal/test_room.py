"""What pretend people can do, and what the bot library makes of it."""

import pytest
import telegram

from bot.rehearsal.errors import NotPossible
from bot.rehearsal.files import Upload

KEYS = telegram.InlineKeyboardMarkup([[telegram.InlineKeyboardButton("Key", callback_data="k")]])


@pytest.fixture
def updates(scene):
    """Read what waits for the bot, with the library's own classes."""

    def read():
        everything = [telegram.Update.de_json(raw, None) for raw in scene.room.updates.pending]
        scene.room.updates.drop_pending()
        return everything

    return read


def test_what_is_said_has_author_time_and_marks(scene, updates):
    scene.room.say(scene.player, scene.group, "😀 /join now")

    (update,) = updates()
    message = update.message
    assert (message.from_user.id, message.from_user.language_code) == (5002, "de")
    assert (message.chat.id, message.date) == (scene.group.chat_id, scene.clock())
    assert message.parse_entities() == {message.entities[0]: "/join"}


def test_numbers_count_per_chat(scene):
    scene.room.start_private(scene.player)

    said = [scene.room.say(scene.player, scene.group, text) for text in ("a", "b")]

    assert [message["message_id"] for message in said] == [1, 2]
    assert [m["message_id"] for m in scene.room.messages(scene.player)] == [1]


def test_caption_and_file_come_with_the_message(scene, updates):
    scene.room.say(scene.player, scene.group, caption="3 rounds + 45")
    scene.room.say(
        scene.player, scene.group, "my week", document=Upload("week.csv", b"a,b", "text/csv")
    )

    photo, document = (update.message for update in updates())
    assert (photo.caption, photo.text, photo.photo[0].width) == ("3 rounds + 45", None, 1)
    assert (document.caption, document.document.file_name) == ("my week", "week.csv")


def test_administrator_without_a_name_and_channel_are_other_senders(scene, updates):
    channel = {"id": -1000000009999, "type": "channel", "title": "News"}
    scene.room.say(scene.coach, scene.group, "as the group", sender_chat=scene.group)
    scene.room.say(scene.coach, scene.group, "as a channel", sender_chat=channel)

    as_group, as_channel = (update.message for update in updates())
    assert (as_group.from_user.id, as_group.sender_chat.id) == (1087968824, scene.group.chat_id)
    assert (as_channel.from_user.id, as_channel.sender_chat.title) == (136817688, "News")


def test_other_fields_and_bots_in_between_come_along(scene, updates):
    origin = {"type": "hidden_user", "sender_user_name": "Somebody", "date": 1_700_000_000}
    helper = {"id": 9, "is_bot": True, "first_name": "Helper"}
    scene.room.say(scene.player, scene.group, "45", fields={"forward_origin": origin})
    scene.room.say(scene.player, scene.group, "45", via_bot=helper)

    forwarded, through = (update.message for update in updates())
    assert forwarded.forward_origin.sender_user_name == "Somebody"
    assert through.via_bot.id == 9


def test_edit_keeps_the_number_and_tells_when(scene, updates):
    said = scene.room.say(scene.player, scene.group, "/join 45")
    scene.room.edit(scene.player, scene.group, said["message_id"], "54")

    _, update = updates()
    edited = update.edited_message
    assert (edited.message_id, edited.text, edited.entities) == (1, "54", ())
    assert edited.edit_date == scene.clock()


def test_erased_message_is_gone_without_an_update(scene, updates):
    said = scene.room.say(scene.player, scene.group, "45")
    updates()

    scene.room.erase(scene.player, scene.group, said["message_id"])

    assert (scene.room.messages(scene.group), updates()) == ([], [])


async def test_press_comes_with_message_and_data(scene, bot):
    post = await bot.send_message(scene.group.chat_id, "Day 1", reply_markup=KEYS)
    query_id = scene.room.press(scene.player, scene.group, post.message_id, "k")

    (update,) = await bot.get_updates()

    query = update.callback_query
    assert (query.id, query.data, query.from_user.id) == (query_id, "k", scene.player.user_id)
    assert query.message.message_id == post.message_id


async def test_start_carries_its_payload_and_opens_the_talk(scene, bot):
    scene.room.start_private(scene.player, "join-7")

    (update,) = await bot.get_updates()
    await update.message.reply_text("welcome")

    texts = [message["text"] for message in scene.room.messages(scene.player)]
    assert texts == ["/start join-7", "welcome"]


@pytest.mark.parametrize(
    ("change", "statuses"),
    [
        pytest.param(lambda s: s.room.kick_bot(s.group), ("administrator", "kicked"), id="kick"),
        pytest.param(
            lambda s: s.room.invite_bot(s.coach, s.group, "member"),
            ("administrator", "member"),
            id="demote",
        ),
        pytest.param(lambda s: s.room.block(s.player), ("member", "kicked"), id="block"),
    ],
)
def test_bot_is_told_of_its_own_changes(scene, updates, change, statuses):
    change(scene)

    (update,) = updates()
    changed = update.my_chat_member
    assert (changed.old_chat_member.status, changed.new_chat_member.status) == statuses


def test_bot_that_is_invited_is_told_twice(scene, updates):
    scene.room.kick_bot(scene.group)
    updates()

    scene.room.invite_bot(scene.coach, scene.group)

    told, news = updates()
    assert told.my_chat_member.from_user.id == scene.coach.user_id
    assert news.message.new_chat_members[0].id == scene.room.bot.user_id


def test_leaving_tells_in_the_chat(scene, updates):
    scene.room.leave(scene.player, scene.group)

    (update,) = updates()
    assert update.message.left_chat_member.id == scene.player.user_id
    with pytest.raises(NotPossible, match="Tobias is not in Quayside Movers"):
        scene.room.say(scene.player, scene.group, "45")


def test_upgrade_tells_in_both_chats_and_keeps_the_members(scene, updates):
    basic = scene.room.add_group("Small", is_basic=True)
    scene.room.put_in_group(scene.coach, basic, "creator")

    after = scene.room.upgrade(basic, scene.coach)

    old, new = (update.message for update in updates())
    assert (old.chat.id, old.migrate_to_chat_id) == (basic.chat_id, after.chat_id)
    assert (new.chat.id, new.migrate_from_chat_id) == (after.chat_id, basic.chat_id)
    assert after.members == basic.members


@pytest.mark.parametrize(
    ("attempt", "what"),
    [
        pytest.param(
            lambda s: s.room.press(s.player, s.group, s.said, "k"), "has no button 'k'", id="press"
        ),
        pytest.param(
            lambda s: s.room.edit(s.coach, s.group, s.said, "x"), "not from Ines", id="edit"
        ),
        pytest.param(
            lambda s: s.room.erase(s.coach, s.group, s.said), "not from Ines", id="erase"
        ),
        pytest.param(
            lambda s: s.room.say(s.player, s.group, "x", reply_to=99), "no message 99", id="reply"
        ),
        pytest.param(
            lambda s: s.room.say(s.player, s.player, "x"), "has not started", id="not_started"
        ),
        pytest.param(
            lambda s: s.room.say(s.player, s.coach, "x"), "another person's talk", id="foreign"
        ),
        pytest.param(lambda s: s.room.say(s.player, 404, "x"), "no chat has the id", id="chat"),
        pytest.param(lambda s: s.room.upgrade(s.group, s.coach), "no basic group", id="upgrade"),
    ],
)
def test_impossible_acts_are_refused(scene, attempt, what):
    said = scene.room.say(scene.player, scene.group, "45")["message_id"]
    with_said = type("With", (), {**vars_of(scene), "said": said})

    with pytest.raises(NotPossible, match=what):
        attempt(with_said)


def vars_of(scene):
    return {name: getattr(scene, name) for name in ("room", "coach", "player", "group")}
