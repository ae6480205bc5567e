"""What the bot owes the platform survives being stored."""

from __future__ import annotations

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from bot.calls import (
    Button,
    Rewrite,
    Say,
    SendFile,
    SendPhoto,
    Toast,
    call_from_json,
    call_to_json,
)

TEXT = st.text(st.characters(exclude_categories=["Cs"]))
IDS = st.integers(-(2**52), 2**52)
MAYBE = st.none() | st.integers(1, 2**31)
ROWS = st.lists(st.lists(st.builds(Button, TEXT, TEXT), max_size=3).map(tuple), max_size=3).map(
    tuple
)
CALLS = st.one_of(
    st.builds(Say, IDS, TEXT, ROWS, MAYBE, st.none() | TEXT, MAYBE, st.booleans()),
    st.builds(SendFile, IDS, TEXT, TEXT, TEXT, MAYBE, MAYBE),
    st.builds(SendFile, IDS, TEXT, TEXT, encoding=st.sampled_from(["text", "base64"])),
    st.builds(SendPhoto, IDS, TEXT, TEXT),
    st.builds(Rewrite, IDS, st.integers(1, 2**31), TEXT, ROWS),
    st.builds(Toast, TEXT, TEXT),
)


@settings(deadline=None)
@given(call=CALLS)
def test_a_call_comes_back_from_the_store_as_it_was(call):
    assert call_from_json(call_to_json(call)) == call


@pytest.mark.parametrize(
    ("call", "kind"),
    [
        pytest.param(Say(1, "hello"), "say", id="say"),
        pytest.param(SendFile(1, "days.ics", "BEGIN:"), "file", id="file"),
        pytest.param(SendPhoto(1, "aGk="), "photo", id="photo"),
        pytest.param(Rewrite(1, 2, "hello"), "rewrite", id="rewrite"),
        pytest.param(Toast("77"), "toast", id="toast"),
    ],
)
def test_a_stored_call_names_its_kind(call, kind):
    assert json.loads(call_to_json(call))["kind"] == kind


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("", id="nothing"),
        pytest.param("{}", id="empty"),
        pytest.param('{"kind": "shout", "chat_id": 1, "text": "x"}', id="unknown_kind"),
        pytest.param('{"kind": "say", "chat_id": 1}', id="no_text"),
        pytest.param('{"kind": "rewrite", "chat_id": 1, "text": "x"}', id="no_message"),
    ],
)
def test_what_is_no_call_is_refused(text):
    with pytest.raises(ValidationError):
        call_from_json(text)


def test_answers_make_no_sound_unless_told_to():
    assert Say(1, "hello").quiet
