"""The chat page in a real browser, with a bot behind it that answers."""

import asyncio
import contextlib
import os
import shutil
from datetime import timedelta

import pytest
import telegram
from playwright.async_api import async_playwright, expect

from bot.clock_sound import render
from bot.rehearsal.page import build_server
from bot.rehearsal.serving import serve
from content.clock_track import Cue, Mark, Track

CHROMIUM = shutil.which("chromium")
QUIET = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
KEYS = telegram.InlineKeyboardMarkup(
    [[telegram.InlineKeyboardButton("Well done", callback_data="cheer")]]
)


@pytest.fixture
async def browser():
    if CHROMIUM is None:
        if "CI" in os.environ:
            pytest.fail("no chromium on the path, and CI must not go without")
        pytest.skip("no chromium on the path")
    async with async_playwright() as playwright:
        chromium = await playwright.chromium.launch(executable_path=CHROMIUM, args=QUIET)
        yield chromium
        await chromium.close()


@contextlib.asynccontextmanager
async def answering(bot):
    """Run a bot that says back what it hears and answers each press."""

    async def answer_all():
        offset = 0
        while True:
            for update in await bot.get_updates(offset=offset, timeout=10):
                offset = update.update_id + 1
                if update.callback_query:
                    await update.callback_query.answer(f"Noted: {update.callback_query.data}")
                else:
                    await update.message.reply_text(
                        f"heard <b>{update.message.text_html}</b>",
                        parse_mode="HTML",
                        reply_markup=KEYS,
                    )

    task = asyncio.create_task(answer_all())
    yield
    task.cancel()
    with contextlib.suppress(asyncio.CancelledError):
        await task


async def open_page(browser, url, *, width, height=844):
    page = await browser.new_page(viewport={"width": width, "height": height})
    errors = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.on("console", lambda line: errors.append(line.text) if line.type == "error" else None)
    await page.goto(url)
    await expect(page.locator("body")).to_have_attribute("data-ready", "yes")
    return page, errors


@pytest.mark.browser
@pytest.mark.parametrize("width", [1280, 390])
async def test_a_person_speaks_and_presses_and_the_bot_answers(browser, scene, url, bot, width):
    async with answering(bot):
        page, errors = await open_page(browser, url, width=width)
        await page.get_by_role("radio", name="Tobias").check(force=True)
        text = page.locator("#text")
        await text.fill("3 rounds < 45")
        await text.press("Enter")

        answer = page.locator(".by-bot .words")
        await expect(answer).to_have_text("heard 3 rounds < 45")
        await expect(answer.locator("strong")).to_have_text("3 rounds < 45")
        await page.get_by_role("button", name="Well done").click()
        await expect(page.locator("#notice")).to_have_text(
            "Rungbell to Tobias alone: Noted: cheer"
        )

        overflow = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        assert await page.evaluate(overflow) == 0
        assert [m["from"]["first_name"] for m in scene.room.messages(scene.group)] == [
            "Tobias",
            "Rungbell",
        ]
        assert errors == []


@pytest.mark.browser
async def test_a_reaction_of_the_bot_shows_at_once_and_goes(browser, scene, url, bot):
    page, errors = await open_page(browser, url, width=390)
    said = scene.room.say(scene.player, scene.group, "3 rounds + 45")
    await expect(page.locator(".entry .words")).to_have_text("3 rounds + 45")

    await bot.set_message_reaction(scene.group.chat_id, said["message_id"], "👍")
    await expect(page.locator(".entry .reaction")).to_have_text("👍 Rungbell")
    await bot.set_message_reaction(scene.group.chat_id, said["message_id"])

    await expect(page.locator(".entry .reaction")).to_have_count(0)
    assert errors == []


@pytest.mark.browser
async def test_a_voice_message_can_be_played(browser, scene, url, bot):
    page, errors = await open_page(browser, url, width=390)
    sound = render(Track((Mark(1, Cue.START),), 3, 1))
    await bot.send_voice(scene.group.chat_id, sound, caption="The clock")

    player = page.locator(".entry audio")
    await expect(player).to_have_js_property("readyState", 4)  # all of it can be played
    # Chromium counts the encoder's delay, which it does not play.
    assert await player.evaluate("player => player.duration") == pytest.approx(3, abs=0.01)
    await player.evaluate("player => { player.muted = true; return player.play(); }")

    await expect(player).to_have_js_property("paused", False)
    await expect(page.locator(".entry .words")).to_have_text("The clock")
    assert errors == []


@pytest.mark.browser
async def test_own_entry_is_edited_and_private_talk_started(browser, scene, url):
    page, errors = await open_page(browser, url, width=1280)
    scene.room.say(scene.coach, scene.group, "Day 1 <script>")
    await page.get_by_role("button", name="Edit").click()
    await page.locator("#text").fill("Day 2 <script>")
    await page.locator("#text").press("Enter")

    await expect(page.locator(".entry .words")).to_have_text("Day 2 <script>")
    await expect(page.locator(".foot")).to_contain_text("edited 07:00")
    await page.get_by_role("button", name="Private with Rungbell").click()
    await page.get_by_role("button", name="Start", exact=True).click()
    await expect(page.locator(".entry .words")).to_have_text("/start")
    assert scene.coach.has_started
    assert errors == []


@pytest.mark.browser
async def test_clock_goes_to_a_planned_post_and_shows_it(browser, scene):
    due_at = scene.clock() + timedelta(hours=3)
    post = {"due_at": due_at, "local": "Mon 10:00", "title": "Day 1", "state": "planned"}

    async def moved():
        post["state"] = "sent"

    async def posts():
        return [post]

    async with serve(build_server(scene.room, moved=moved, posts=posts)) as url:
        page, errors = await open_page(browser, url, width=1280)
        await expect(page.locator("#clock-time")).to_have_text("07:00")
        await page.get_by_role("button", name="Go to Day 1").click()

        await expect(page.locator("#clock-time")).to_have_text("10:00")
        await expect(page.locator("#posts")).to_contain_text("Mon 10:00, sent")
        assert scene.clock() == due_at
        await page.close()
        assert errors == []


@pytest.mark.browser
@pytest.mark.parametrize("width", [1280, 390])
async def test_a_file_is_sent_with_words_beside_it_and_only_once(browser, scene, url, width):
    page, errors = await open_page(browser, url, width=width)
    data = bytes(range(256))
    await page.locator("#file").set_input_files(
        {"name": "day-3.txt", "mimeType": "text/plain", "buffer": data}
    )
    await page.locator("#text").fill("day 3")
    await page.locator("#text").press("Enter")
    await expect(page.locator(".entry .words")).to_have_text("day 3")
    await page.locator("#text").fill("and words alone")
    await page.locator("#text").press("Enter")
    await expect(page.locator(".entry .words")).to_have_text(["day 3", "and words alone"])

    first, second = scene.room.messages(scene.group)
    stored = scene.room.files.by_id(first["document"]["file_id"])
    assert (stored.upload.data, first["caption"]) == (data, "day 3")
    assert "document" not in second
    overflow = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
    assert await page.evaluate(overflow) == 0
    assert errors == []
