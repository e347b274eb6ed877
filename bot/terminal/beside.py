"""What a messenger shows beside a chat, in words."""

from __future__ import annotations

from typing import Any


def beside_lines(body: dict[str, Any]) -> tuple[str, ...]:
    """Return the lines that tell how a message was shown, if not to everybody."""
    if "alone" in body:
        return (f"(shown to {body['alone'][2]} alone)",)
    return ()


def shown_text(body: dict[str, Any]) -> str:
    """Return a message's words, or the mark that stands for them on what was said."""
    return str(body.get("mark") or body["text"])


def shown_rows(body: dict[str, Any]) -> list[list[list[str]]]:
    """Return the buttons of a message; a mark has none."""
    return [] if "mark" in body else body.get("buttons", [])
