"""Message text as the platform reads it: HTML mode, entities, lengths in UTF-16 units.

Source: Bot API reference, "Formatting options" and "MessageEntity": which tags exist, which
four named HTML entities are known, that `pre` and `code` hold no other entity and quotations
do not nest, and that offsets count UTF-16 code units.  Of the entities the platform finds by
itself, commands, mentions, hashtags and http links are found here; the rest are not.
Checked by: test_text.py.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from tests.server.contract import ApiError

Entity = dict[str, Any]

_SIMPLE = {
    "b": "bold",
    "strong": "bold",
    "i": "italic",
    "em": "italic",
    "u": "underline",
    "ins": "underline",
    "s": "strikethrough",
    "strike": "strikethrough",
    "del": "strikethrough",
    "tg-spoiler": "spoiler",
    "code": "code",
    "pre": "pre",
}
_NAMED = {"lt": "<", "gt": ">", "amp": "&", "quot": '"'}
_MARK = re.compile(r"[<&]")
_CHARACTER = re.compile(r"&(?:(lt|gt|amp|quot)|#(\d{1,7})|#[xX]([0-9a-fA-F]{1,6}));")
_END = re.compile(r"</([a-zA-Z][a-zA-Z0-9-]*)?\s*>")
_START = re.compile(r"<([a-zA-Z][a-zA-Z0-9-]*)((?:\s+[^<>\"']*(?:\"[^\"]*\"|'[^']*')?)*)\s*>")
_ATTRIBUTE = re.compile(r"([a-zA-Z-]+)(?:\s*=\s*(\"[^\"]*\"|'[^']*'|[^\s\"'>]+))?")
_FOUND = re.compile(
    r"(?P<bot_command>(?<![\w/@:.])/[A-Za-z0-9_]{1,64}(?:@[A-Za-z]\w{2,31})?(?![\w/]))"
    r"|(?P<url>https?://[^\s<>\"]+)"
    r"|(?P<mention>(?<![\w@/])@[A-Za-z][A-Za-z0-9_]{2,31}\b)"
    r"|(?P<hashtag>(?<![\w#&])#\w*[^\W\d]\w*)"
)


def utf16_length(text: str) -> int:
    """Return the length of `text` in UTF-16 code units."""
    return len(text) if text.isascii() else len(text.encode("utf-16-le")) // 2


def formatted(
    text: str, parse_mode: str | None, entities: Sequence[Entity] | None
) -> tuple[str, list[Entity]]:
    """Return the text as shown and its entities; raise ApiError on bad markup.

    Only HTML is read here; the Markdown modes of the contract are refused.
    """
    found: list[Entity]
    if parse_mode:
        if parse_mode.lower() != "html":
            raise _bad(f"this test server reads parse mode HTML only, not {parse_mode!r}")
        text, found = parse_html(text)
    else:
        found = [dict(entity) for entity in entities or ()]
        _check_bounds(text, found)
    _check_nesting(found)
    text, found = _trim(text, found)
    return text, _with_detected(text, found)


def parse_html(source: str) -> tuple[str, list[Entity]]:
    """Return the plain text and entities of HTML mode `source`; raise ApiError if malformed."""
    out: list[str] = []
    entities: list[Entity] = []
    open_tags: list[tuple[str, int, Entity]] = []
    at = length = 0
    while mark := _MARK.search(source, at):
        chunk = source[at : mark.start()]
        out.append(chunk)
        length += utf16_length(chunk)
        at = mark.start()
        if mark.group() == "&":
            one, at = _character(source, at)
            out.append(one)
            length += utf16_length(one)
        elif source.startswith("</", at):
            end = _END.match(source, at)
            if end is None:
                raise _bad(f"Unclosed end tag at byte offset {_bytes(source, at)}")
            _close(source, at, (end.group(1) or "").lower(), open_tags, entities, length)
            at = end.end()
        else:
            start = _START.match(source, at)
            if start is None:
                raise _bad(f"Unclosed start tag at byte offset {_bytes(source, at)}")
            tag = start.group(1).lower()
            open_tags.append((tag, length, _entity(source, at, tag, start.group(2), open_tags)))
            at = start.end()
    if open_tags:
        raise _bad(f'Can\'t find end tag corresponding to start tag "{open_tags[-1][0]}"')
    out.append(source[at:])
    entities.sort(key=lambda entity: (entity["offset"], -entity["length"]))
    return "".join(out), entities


def _character(source: str, at: int) -> tuple[str, int]:
    match = _CHARACTER.match(source, at)
    if match is None:
        return "&", at + 1
    name, decimal, hexadecimal = match.groups()
    code = int(decimal) if decimal else int(hexadecimal, 16) if hexadecimal else 0
    if name is None and (not 0 < code <= 0x10FFFF or 0xD800 <= code <= 0xDFFF):
        return "&", at + 1
    return _NAMED[name] if name else chr(code), match.end()


def _entity(
    source: str, at: int, tag: str, rest: str, open_tags: list[tuple[str, int, Entity]]
) -> Entity:
    given = {m[1].lower(): (m[2] or "").strip("\"'") for m in _ATTRIBUTE.finditer(rest)}
    values = {
        name: re.sub(_CHARACTER, lambda m: _character(m[0], 0)[0], v) for name, v in given.items()
    }
    if tag in _SIMPLE:
        language = values.get("class", "")
        if tag == "code" and language.startswith("language-") and open_tags[-1:]:
            if open_tags[-1][0] == "pre":
                return {"type": "code", "language": language.removeprefix("language-")}
        return {"type": _SIMPLE[tag]}
    if tag == "span":
        if values.get("class") != "tg-spoiler":
            raise _bad(
                f'Tag "span" must have class "tg-spoiler" at byte offset {_bytes(source, at)}'
            )
        return {"type": "spoiler"}
    if tag == "blockquote":
        return {"type": "expandable_blockquote" if "expandable" in values else "blockquote"}
    if tag == "a":
        href = values.get("href", "")
        person = re.fullmatch(r"tg://user\?id=(\d+)", href)
        if person:
            return {"type": "text_mention", "user": {"id": int(person[1])}}
        if not re.match(r"(https?|tg|mailto|tel):", href):
            raise _bad(f'Tag "a" needs a link in href at byte offset {_bytes(source, at)}')
        return {"type": "text_link", "url": href}
    if tag == "tg-emoji":
        return {"type": "custom_emoji", "custom_emoji_id": values.get("emoji-id", "")}
    raise _bad(f'Unsupported start tag "{tag}" at byte offset {_bytes(source, at)}')


def _close(
    source: str,
    at: int,
    tag: str,
    open_tags: list[tuple[str, int, Entity]],
    entities: list[Entity],
    length: int,
) -> None:
    if not open_tags:
        raise _bad(f"Unexpected end tag at byte offset {_bytes(source, at)}")
    opened, start, entity = open_tags.pop()
    if tag and tag != opened:
        raise _bad(
            f"Unmatched end tag at byte offset {_bytes(source, at)}, "
            f'expected "</{opened}>", found "</{tag}>"'
        )
    if length == start:
        return
    placed = {"type": entity["type"], "offset": start, "length": length - start, **entity}
    last = entities[-1] if entities else None
    if opened == "pre" and last and last["type"] == "code" and last["offset"] == start:
        if last["length"] == placed["length"]:
            entities.pop()
            placed.update({k: v for k, v in last.items() if k == "language"})
    entities.append(placed)


def _check_bounds(text: str, entities: list[Entity]) -> None:
    units = text.encode("utf-16-le")
    for entity in entities:
        start, end = entity["offset"], entity["offset"] + entity["length"]
        if start < 0 or entity["length"] <= 0 or end * 2 > len(units):
            raise ApiError(400, "Bad Request: ENTITY_BOUNDS_INVALID")
        for edge in (start, end):
            unit = int.from_bytes(units[edge * 2 : edge * 2 + 2], "little")
            if 0xDC00 <= unit <= 0xDFFF:
                raise ApiError(400, "Bad Request: ENTITY_BOUNDS_INVALID")
    entities.sort(key=lambda entity: (entity["offset"], -entity["length"]))


def _check_nesting(entities: list[Entity]) -> None:
    around: list[Entity] = []
    for entity in entities:
        start, end = entity["offset"], entity["offset"] + entity["length"]
        around = [outer for outer in around if outer["offset"] + outer["length"] > start]
        for outer in around:
            kinds = (outer["type"], entity["type"])
            if outer["offset"] + outer["length"] < end:
                raise _bad(f"{kinds[1]} crosses the end of {kinds[0]}")
            if "pre" in kinds or "code" in kinds:
                raise _bad(f"{kinds[1]} inside {kinds[0]}: pre and code stand alone")
            if kinds[0].endswith("blockquote") and kinds[1].endswith("blockquote"):
                raise _bad("quotations can't be nested")
        around.append(entity)


def _trim(text: str, entities: list[Entity]) -> tuple[str, list[Entity]]:
    """Drop white space at both ends, as the platform does before it counts."""
    body = text.strip()
    if len(body) == len(text):
        return text, entities
    cut = utf16_length(text[: len(text) - len(text.lstrip())])
    room = utf16_length(body)
    kept = []
    for entity in entities:
        start = max(0, entity["offset"] - cut)
        end = min(room, entity["offset"] + entity["length"] - cut)
        if end > start:
            kept.append({**entity, "offset": start, "length": end - start})
    return body, kept


def _with_detected(text: str, entities: list[Entity]) -> list[Entity]:
    if "/" not in text and "@" not in text and "#" not in text:
        return entities
    taken = [(e["offset"], e["offset"] + e["length"]) for e in entities if e["type"] in _SOLID]
    added = []
    for match in _FOUND.finditer(text):
        start = utf16_length(text[: match.start()])
        size = utf16_length(match.group())
        if all(end <= start or start + size <= begin for begin, end in taken):
            added.append({"type": match.lastgroup, "offset": start, "length": size})
    if not added:
        return entities
    return sorted([*entities, *added], key=lambda entity: (entity["offset"], -entity["length"]))


_SOLID = {"pre", "code", "text_link", "text_mention", "url", "mention", "bot_command", "hashtag"}


def _bytes(source: str, at: int) -> int:
    return len(source[:at].encode())


def _bad(reason: str) -> ApiError:
    return ApiError(400, f"Bad Request: can't parse entities: {reason}")
