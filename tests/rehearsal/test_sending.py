from datetime import timedelta

import pytest
from telegram import (
    ForceReply,
    InlineKeyboardButton,
    InlineKeyboardMarkup,
    LinkPreviewOptions,
    MessageEntity,
    ReplyParameters,
)
from telegram.constants import ChatAction
from telegram.error import BadRequest, ChatMigrated, Forbidden, RetryAfter

from bot.clock_sound import render
from bot.rehearsal.files import DOT_PNG
from bot.rehearsal.people import Status
from bot.rehearsal.room import Room
from content.clock_track import Cue, Mark, Track


def a_keyboard(*data: str):
    return InlineKeyboardMarkup([[InlineKeyboardButton("Key", callback_data=one)] for one in data])


async def test_html_message_arrives_as_text_with_entities(scene, bot):
    sent = await bot.send_message(
        scene.group.chat_id,
        "<b>Day 1</b> &amp; more",
        parse_mode="HTML",
        reply_markup=a_keyboard("options"),
        link_preview_options=LinkPreviewOptions(is_disabled=True),
        disable_notification=True,
    )

    assert (sent.text, sent.text_html) == ("Day 1 & more", "<b>Day 1</b> &amp; more")
    assert sent.reply_markup == a_keyboard("options")
    assert sent.date == scene.clock()
    assert scene.room.messages(scene.group)[0]["text"] == "Day 1 & more"


async def test_given_entities_are_kept(scene, bot):
    mark = MessageEntity(MessageEntity.BOLD, 0, 3)

    sent = await bot.send_message(scene.group.chat_id, "Day 1", entities=[mark])

    assert sent.entities == (mark,)


async def test_calls_are_noted_with_the_values_as_read(scene, bot):
    await bot.send_message(scene.group.chat_id, "hello", protect_content=True)

    assert scene.room.calls_of("sendMessage") == [
        {"chat_id": scene.group.chat_id, "text": "hello", "protect_content": True}
    ]


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        pytest.param({"text": "<b>x"}, "Can't parse entities", id="unclosed_tag"),
        pytest.param({"text": "  "}, "Message text is empty", id="blank"),
        pytest.param({"text": "<b> </b>"}, "Message text is empty", id="only_tags"),
        pytest.param({"text": "😀" * 2049}, "Message is too long", id="4098_units"),
        pytest.param({"parse_mode": "MarkdownV2"}, "Unsupported parse_mode", id="parse_mode"),
        pytest.param({"chat_id": -1}, "Chat not found", id="chat"),
        pytest.param({"chat_id": "@nowhere"}, "Chat not found", id="public_name"),
        pytest.param({"message_thread_id": 7}, "Message thread not found", id="topic"),
        pytest.param({"reply_markup": a_keyboard("x" * 65)}, "Button_data_invalid", id="65_bytes"),
        pytest.param({"reply_markup": a_keyboard("é" * 33)}, "Button_data_invalid", id="66_bytes"),
        pytest.param(
            {"reply_parameters": ReplyParameters(99)},
            "Message to be replied not found",
            id="reply_target",
        ),
        pytest.param(
            {"reply_parameters": ReplyParameters(1, chat_id=5001)},
            "Message to be replied not found",
            id="reply_to_another_chat",
        ),
        pytest.param(
            {"parse_mode": None, "entities": [MessageEntity("bold", 0, 9)]},
            "Entity of type bold ends outside the text",
            id="entity_outside",
        ),
        pytest.param(
            {"api_kwargs": {"shiny": True}}, "sendMessage has no parameter shiny", id="unknown"
        ),
        pytest.param(
            {"message_effect_id": "5"}, "no parameter message_effect_id", id="not_played"
        ),
    ],
)
async def test_wrong_message_is_refused_and_not_written(scene, bot, wrong, message):
    right = {"chat_id": scene.group.chat_id, "text": "hello", "parse_mode": "HTML"}

    with pytest.raises(BadRequest, match=f"(?i){message}"):
        await bot.send_message(**{**right, **wrong})

    assert scene.room.messages(scene.group) == []


async def test_longest_text_counts_utf16_units_after_parsing(scene, bot):
    sent = await bot.send_message(scene.group.chat_id, f"<b>{'😀' * 2048}</b>", parse_mode="HTML")

    assert len(sent.text) == 2048


async def test_callback_data_of_64_bytes_is_taken(scene, bot):
    sent = await bot.send_message(scene.group.chat_id, "x", reply_markup=a_keyboard("é" * 32))

    assert sent.reply_markup == a_keyboard("é" * 32)


async def test_reply_carries_the_answered_message(scene, bot):
    said = scene.room.say(scene.player, scene.group, "3 rounds + 45")

    sent = await bot.send_message(
        scene.group.chat_id, "read", reply_parameters=ReplyParameters(said["message_id"])
    )

    assert sent.reply_to_message.text == "3 rounds + 45"


async def test_reply_quotes_a_slice_of_the_answered_message(scene, bot):
    said = scene.room.say(scene.player, scene.group, "🌊 what a day, 3 rounds + 45 for me")
    quoting = ReplyParameters(said["message_id"], quote="3 rounds + 45")

    sent = await bot.send_message(scene.group.chat_id, "read", reply_parameters=quoting)

    assert (sent.quote.text, sent.quote.position) == ("3 rounds + 45", 15)


async def test_words_that_are_not_in_the_message_cannot_be_quoted(scene, bot):
    said = scene.room.say(scene.player, scene.group, "3 rounds + 45")
    quoting = ReplyParameters(said["message_id"], quote="3 rounds + 54")

    with pytest.raises(BadRequest, match=r"(?i)quote_text_invalid"):
        await bot.send_message(scene.group.chat_id, "read", reply_parameters=quoting)


async def test_lost_reply_target_is_forgiven_when_allowed(scene, bot):
    sent = await bot.send_message(
        scene.group.chat_id,
        "read",
        reply_parameters=ReplyParameters(99, allow_sending_without_reply=True),
    )

    assert sent.reply_to_message is None


async def test_topic_is_kept_and_inherited_by_a_reply(scene, bot):
    forum = scene.room.add_group("Movers by topic", topics={12: "Scores"})
    scene.room.put_in_group(scene.player, forum)
    said = scene.room.say(scene.player, forum, "45", thread_id=12)

    direct = await bot.send_message(forum.chat_id, "hi", message_thread_id=12)
    reply = await bot.send_message(
        forum.chat_id, "read", reply_parameters=ReplyParameters(said["message_id"])
    )

    assert [m.message_thread_id for m in (direct, reply)] == [12, 12]
    assert [m.is_topic_message for m in (direct, reply)] == [True, True]


async def test_person_who_never_started_cannot_be_written_to(scene, bot):
    with pytest.raises(Forbidden, match="bot can't initiate conversation with a user"):
        await bot.send_message(scene.player.user_id, "hello")


async def test_person_who_blocked_cannot_be_written_to_until_they_start_again(scene, bot):
    scene.room.start_private(scene.player)
    scene.room.block(scene.player)
    with pytest.raises(Forbidden, match="bot was blocked by the user"):
        await bot.send_message(scene.player.user_id, "hello")

    scene.room.start_private(scene.player)

    assert (await bot.send_message(scene.player.user_id, "hello")).chat.type == "private"


@pytest.mark.parametrize(
    ("status", "message"),
    [
        pytest.param(Status.KICKED, "bot was kicked from the supergroup chat", id="kicked"),
        pytest.param(Status.LEFT, "bot is not a member of the supergroup chat", id="left"),
    ],
)
async def test_group_without_the_bot_cannot_be_written_to(scene, bot, status, message):
    scene.group.bot_status = status

    with pytest.raises(Forbidden, match=message):
        await bot.send_message(scene.group.chat_id, "hello")


async def test_upgraded_group_names_its_new_id(scene, bot):
    basic = scene.room.add_group("Small", is_basic=True)
    scene.room.put_in_group(scene.coach, basic, "creator")
    after = scene.room.upgrade(basic, scene.coach)

    with pytest.raises(ChatMigrated) as info:
        await bot.send_message(basic.chat_id, "hello")

    assert info.value.new_chat_id == after.chat_id < -(10**12)


async def test_photo_keeps_bytes_and_can_be_sent_again_and_downloaded(scene, bot):
    first = await bot.send_photo(
        scene.group.chat_id, DOT_PNG, caption="<b>Standings</b>", parse_mode="HTML"
    )
    again = await bot.send_photo(scene.group.chat_id, first.photo[-1].file_id)
    file = await bot.get_file(again.photo[-1].file_id)

    assert first.caption_html == "<b>Standings</b>"
    assert (first.photo[0].width, first.photo[0].height) == (1, 1)
    assert bytes(await file.download_as_bytearray()) == DOT_PNG


async def test_document_keeps_name_and_bytes(scene, bot):
    sent = await bot.send_document(scene.group.chat_id, b"day,rank\n", filename="week.csv")
    file = await sent.document.get_file()

    assert sent.document.file_name == "week.csv"
    assert bytes(await file.download_as_bytearray()) == b"day,rank\n"


@pytest.mark.parametrize(
    ("photo", "caption", "message"),
    [
        pytest.param(b"no picture", "", "Image_process_failed", id="no_picture"),
        pytest.param(DOT_PNG[:20], "", "Image_process_failed", id="cut_off"),
        pytest.param(
            DOT_PNG[:16] + (21).to_bytes(4) + DOT_PNG[20:],
            "",
            "Photo_invalid_dimensions",
            id="too_wide",
        ),
        pytest.param(DOT_PNG, "x" * 1025, "Message caption is too long", id="long_caption"),
        pytest.param("file-9-nothing", "", "Wrong file identifier", id="unknown_id"),
    ],
)
async def test_wrong_photo_is_refused(scene, bot, photo, caption, message):
    with pytest.raises(BadRequest, match=f"(?i){message}"):
        await bot.send_photo(scene.group.chat_id, photo, caption=caption)


async def test_document_is_no_photo(scene, bot):
    sent = await bot.send_document(scene.group.chat_id, b"x", filename="x.txt")

    with pytest.raises(BadRequest, match=r"(?i)can't use file of type Document as Photo"):
        await bot.send_photo(scene.group.chat_id, sent.document.file_id)


async def test_jpeg_size_is_read_from_its_frame(scene, bot):
    frame = bytes.fromhex("ffc0000b08") + (30).to_bytes(2) + (40).to_bytes(2)
    jpeg = bytes.fromhex("ffd8ffe000040000") + frame + bytes(8)

    sent = await bot.send_photo(scene.group.chat_id, jpeg)

    assert (sent.photo[0].width, sent.photo[0].height) == (40, 30)


async def test_signs_of_writing_and_forced_replies_are_taken(scene, bot):
    assert await bot.send_chat_action(scene.group.chat_id, ChatAction.TYPING)
    sent = await bot.send_message(scene.group.chat_id, "Your score?", reply_markup=ForceReply())

    assert sent.reply_markup is None


async def test_limits_are_off_unless_asked_for(scene, bot):
    for _ in range(21):
        await bot.send_message(scene.group.chat_id, "hello")

    assert len(scene.room.messages(scene.group)) == 21


async def test_twenty_first_message_in_a_minute_to_a_group_waits(scene, bot):
    scene.room.enforce_limits = True
    for _ in range(20):
        await bot.send_message(scene.group.chat_id, "hello")
        scene.clock.advance(timedelta(seconds=1))

    with pytest.raises(RetryAfter) as info:
        await bot.send_message(scene.group.chat_id, "hello")
    scene.clock.advance(timedelta(seconds=40))
    await bot.send_message(scene.group.chat_id, "hello")

    assert info.value.retry_after == timedelta(seconds=40)
    assert len(scene.room.messages(scene.group)) == 21


async def test_thirty_first_message_in_a_second_waits(scene, bot):
    room: Room = scene.room
    room.enforce_limits = True
    groups = [room.add_group(f"Group {number}") for number in range(31)]
    for group in groups[:30]:
        await bot.send_message(group.chat_id, "hello")

    with pytest.raises(RetryAfter) as info:
        await bot.send_message(groups[30].chat_id, "hello")

    assert info.value.retry_after == timedelta(seconds=1)


@pytest.fixture(scope="module")
def sound():
    """Three seconds with one tone, as the bot makes it."""
    return render(Track((Mark(1, Cue.START),), 3, 1))


async def test_voice_keeps_bytes_and_length_and_can_be_sent_again(scene, bot, sound):
    first = await bot.send_voice(
        scene.group.chat_id, sound, caption="<b>Day</b>", parse_mode="HTML"
    )
    again = await bot.send_voice(scene.group.chat_id, first.voice.file_id, duration=9)
    file = await bot.get_file(again.voice.file_id)

    assert bytes(await file.download_as_bytearray()) == sound
    assert (first.voice.duration, first.voice.mime_type) == (timedelta(seconds=3), "audio/ogg")
    assert (first.caption, again.voice.duration) == ("Day", timedelta(seconds=9))
    assert again.voice.file_id == first.voice.file_id


@pytest.mark.parametrize(
    "data",
    [
        pytest.param(b"RIFF....WAVEfmt ", id="wav"),
        pytest.param(b"OggS" + b"\0" * 60, id="ogg_without_opus"),
        pytest.param(DOT_PNG, id="picture"),
        pytest.param(b"OggS..OpusHead", id="cut_off"),
    ],
)
async def test_what_cannot_be_played_is_no_voice(scene, bot, data):
    with pytest.raises(BadRequest, match=r"(?i)Ogg with Opus is needed"):
        await bot.send_voice(scene.group.chat_id, data)


async def test_a_document_is_no_voice_and_a_lost_file_is_unknown(scene, bot, sound):
    document = await bot.send_document(scene.group.chat_id, sound)
    voice = await bot.send_voice(scene.group.chat_id, sound)
    scene.room.files.lose(voice.voice.file_id)

    with pytest.raises(BadRequest, match=r"(?i)document as voicenote"):
        await bot.send_voice(scene.group.chat_id, document.document.file_id)
    with pytest.raises(BadRequest, match=r"(?i)wrong file identifier"):
        await bot.send_voice(scene.group.chat_id, voice.voice.file_id)


async def test_unknown_parameters_of_voice_are_refused(scene, web):
    answer = await web.post(
        f"/bot{scene.room.token}/sendVoice",
        json={"chat_id": scene.group.chat_id, "voice": "x", "performer": "y"},
    )

    assert answer.status_code == 400
    assert "sendVoice has no parameter performer" in answer.json()["description"]


async def test_who_takes_no_voice_gets_none(scene, bot, sound):
    scene.room.start_private(scene.player)
    scene.room.no_voice |= {scene.group.chat_id, scene.player.user_id}

    with pytest.raises(BadRequest, match="rights to send voice"):
        await bot.send_voice(scene.group.chat_id, sound)
    with pytest.raises(BadRequest, match=r"(?i)voice_messages_forbidden"):
        await bot.send_voice(scene.player.user_id, sound)


async def test_the_page_plays_a_voice(scene, bot, web, sound):
    sent = await bot.send_voice(scene.group.chat_id, sound)

    answer = await web.get(f"/picture/{sent.voice.file_id}")

    assert answer.content == sound
    assert answer.headers["Content-Type"] == "audio/ogg"
    assert "Content-Disposition" not in answer.headers
    assert "media-src 'self'" in answer.headers["Content-Security-Policy"]
