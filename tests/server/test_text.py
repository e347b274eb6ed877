"""HTML mode, entities and lengths, as the Bot API reference describes them."""

from typing import Any

import pytest

from tests.server.contract import ApiError
from tests.server.text import formatted, parse_html, utf16_length


def _entity(kind: str, offset: int, length: int, **rest: object) -> dict[str, Any]:
    return {"type": kind, "offset": offset, "length": length, **rest}


@pytest.mark.parametrize(
    ("source", "text", "entities"),
    [
        ("<b>a</b>", "a", [_entity("bold", 0, 1)]),
        ("<STRONG>a</STRONG>", "a", [_entity("bold", 0, 1)]),
        ("<i>a<u>b</u></i>", "ab", [_entity("italic", 0, 2), _entity("underline", 1, 1)]),
        ("🌱<s>a</s>", "🌱a", [_entity("strikethrough", 2, 1)]),
        ('<span class="tg-spoiler">a</span>', "a", [_entity("spoiler", 0, 1)]),
        ("<blockquote expandable>a</blockquote>", "a", [_entity("expandable_blockquote", 0, 1)]),
        ('<a href="https://x.test/?a=1&amp;b=2">x</a>', "x", None),
        ('<a href="tg://user?id=7">x</a>', "x", [_entity("text_mention", 0, 1, user={"id": 7})]),
        ("a &lt;b&gt; &amp;&quot; &#9731;&#x41;", 'a <b> &" ☃A', []),
        ("a & b &nbsp; &amp", "a & b &nbsp; &amp", []),
        ("<b></b>a", "a", []),
        ("<pre>a</pre>", "a", [_entity("pre", 0, 1)]),
        (
            '<pre><code class="language-toml">a</code></pre>',
            "a",
            [_entity("pre", 0, 1, language="toml")],
        ),
    ],
)
def test_html_reads_as_published(
    source: str, text: str, entities: list[dict[str, Any]] | None
) -> None:
    if entities is None:
        entities = [_entity("text_link", 0, 1, url="https://x.test/?a=1&b=2")]
    assert parse_html(source) == (text, entities)


@pytest.mark.parametrize(
    ("source", "reason"),
    [
        ("a < b", "Unclosed start tag at byte offset 2"),
        ("🌱 < b", "Unclosed start tag at byte offset 5"),
        ("<b>a", 'Can\'t find end tag corresponding to start tag "b"'),
        ("a</b>", "Unexpected end tag at byte offset 1"),
        ("<b>a</i>", 'expected "</b>", found "</i>"'),
        ("<h1>a</h1>", 'Unsupported start tag "h1"'),
        ("<p>a</p>", 'Unsupported start tag "p"'),
        ("a<br>b", 'Unsupported start tag "br"'),
        ("<span>a</span>", 'must have class "tg-spoiler"'),
        ("<a>x</a>", "needs a link"),
        ("<b><code>a</code></b>", "pre and code stand alone"),
        ("<blockquote>a<blockquote>b</blockquote></blockquote>", "can't be nested"),
    ],
)
def test_bad_html_is_refused(source: str, reason: str) -> None:
    with pytest.raises(ApiError) as refused:
        formatted(source, "HTML", None)
    assert refused.value.code == 400
    assert "can't parse entities" in refused.value.description
    assert reason in refused.value.description


def test_other_parse_modes_are_refused() -> None:
    with pytest.raises(ApiError, match="HTML only"):
        formatted("*a*", "MarkdownV2", None)


def test_length_counts_utf16_units() -> None:
    assert [utf16_length(text) for text in ("abc", "é", "🌱", "👩‍🌾")] == [3, 1, 2, 5]


@pytest.mark.parametrize(
    ("text", "offset", "length"), [("abc", 2, 2), ("abc", -1, 1), ("abc", 0, 0), ("🌱a", 1, 2)]
)
def test_entities_outside_the_text_or_inside_a_character_are_refused(
    text: str, offset: int, length: int
) -> None:
    with pytest.raises(ApiError, match="ENTITY_BOUNDS_INVALID"):
        formatted(text, None, [_entity("bold", offset, length)])


def test_crossing_entities_are_refused() -> None:
    with pytest.raises(ApiError, match="crosses"):
        formatted("abcd", None, [_entity("bold", 0, 2), _entity("italic", 1, 2)])


def test_white_space_around_is_dropped_and_entities_move() -> None:
    shown = formatted("  <b> a </b>\n", "HTML", None)
    assert shown == ("a", [_entity("bold", 0, 1)])


def test_commands_mentions_and_links_are_found() -> None:
    text = "/up@tray_bot 🌱 @alice_t #row https://x.test/a 3/4 a@b.test"
    found = formatted(text, None, None)[1]
    units = text.encode("utf-16-le")
    words = [
        (e["type"], units[e["offset"] * 2 : (e["offset"] + e["length"]) * 2].decode("utf-16-le"))
        for e in found
    ]
    assert words == [
        ("bot_command", "/up@tray_bot"),
        ("mention", "@alice_t"),
        ("hashtag", "#row"),
        ("url", "https://x.test/a"),
    ]


def test_nothing_is_found_inside_code() -> None:
    assert formatted("<code>/up</code>", "HTML", None)[1] == [_entity("code", 0, 3)]
