import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.rehearsal.entities import found_entities, parse_html, utf16_length
from bot.rehearsal.errors import Refused


def an_entity(kind, offset, length, **more: str):
    return {"type": kind, "offset": offset, "length": length, **more}


@pytest.mark.parametrize(
    ("html", "text", "entities"),
    [
        pytest.param("plain", "plain", [], id="plain"),
        pytest.param("a <b>bold</b> one", "a bold one", [an_entity("bold", 2, 4)], id="bold"),
        pytest.param(
            "<strong>a</strong><em>b</em><ins>c</ins><del>d</del><s>e</s>",
            "abcde",
            [
                an_entity("bold", 0, 1),
                an_entity("italic", 1, 1),
                an_entity("underline", 2, 1),
                an_entity("strikethrough", 3, 1),
                an_entity("strikethrough", 4, 1),
            ],
            id="aliases",
        ),
        pytest.param(
            "😀<i>x</i>", "😀x", [an_entity("italic", 2, 1)], id="emoji_counts_two_units"
        ),
        pytest.param(
            "<b>a<i>b</i></b>",
            "ab",
            [an_entity("bold", 0, 2), an_entity("italic", 1, 1)],
            id="nested",
        ),
        pytest.param(
            "5 &lt; 6 &amp; 7 &gt; 6 &quot;x&quot; &#65;&#x42;",
            '5 < 6 & 7 > 6 "x" AB',
            [],
            id="characters",
        ),
        pytest.param("a&nbsp;b & c", "a&nbsp;b & c", [], id="other_names_stay"),
        pytest.param(
            '<a href="https://example.org/?a=1&amp;b=2">go</a>',
            "go",
            [an_entity("text_link", 0, 2, url="https://example.org/?a=1&b=2")],
            id="link",
        ),
        pytest.param('<a href="no way">go</a>', "go", [], id="unusable_link_stays_text"),
        pytest.param(
            '<pre><code class="language-text">3\n2</code></pre>',
            "3\n2",
            [an_entity("pre", 0, 3, language="text")],
            id="code_block",
        ),
        pytest.param("<code>a</code>", "a", [an_entity("code", 0, 1)], id="code"),
        pytest.param(
            "<blockquote expandable>a</blockquote><tg-spoiler>b</tg-spoiler>",
            "ab",
            [an_entity("expandable_blockquote", 0, 1), an_entity("spoiler", 1, 1)],
            id="quote_and_spoiler",
        ),
        pytest.param("\n <b> a </b>\n", "a", [an_entity("bold", 0, 1)], id="blank_ends_go"),
        pytest.param("a<b></b>", "a", [], id="nothing_bold"),
    ],
)
def test_html_becomes_text_and_entities(html, text, entities):
    assert parse_html(html) == (text, entities)


@pytest.mark.parametrize(
    ("html", "why"),
    [
        pytest.param("3 < 4", "Unclosed start tag at byte offset 2", id="stray_bracket"),
        pytest.param(
            "é<h1>x</h1>", 'Unsupported start tag "h1" at byte offset 2', id="unknown_tag"
        ),
        pytest.param(
            "<b>x", 'Can\'t find end tag corresponding to start tag "b"', id="never_closed"
        ),
        pytest.param("x</b>", "Unexpected end tag at byte offset 1", id="never_opened"),
        pytest.param(
            "<b><i>x</b></i>",
            'Unmatched end tag at byte offset 7, expected "</i>", found "</b>"',
            id="crossed",
        ),
    ],
)
def test_unreadable_html_is_refused(html, why):
    with pytest.raises(Refused) as info:
        parse_html(html)

    assert info.value.status == 400
    assert info.value.description == f"Bad Request: can't parse entities: {why}"


@given(st.text())
def test_escaped_text_comes_back_as_it_was(text):
    escaped = text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")

    read = parse_html(escaped)

    assert read == (text.strip(), [])


@given(st.text(alphabet="<>/&;bia \"'=#x1"))
def test_any_html_is_read_or_refused_and_entities_lie_inside(html):
    try:
        text, entities = parse_html(html)
    except Refused:
        return

    assert all(
        e["offset"] >= 0 and e["length"] > 0 and e["offset"] + e["length"] <= utf16_length(text)
        for e in entities
    )


def test_commands_and_mentions_are_found_with_utf16_offsets():
    assert found_entities("😀 /join@rungbell_bot and @ines_coach, 3/4, a@b.org") == [
        an_entity("bot_command", 3, 18),
        an_entity("mention", 26, 11),
    ]


def test_commands_in_code_are_left_alone():
    text, entities = parse_html("<code>/join</code> or /join")

    found = found_entities(text, entities)

    assert found == [an_entity("bot_command", 9, 5)]
