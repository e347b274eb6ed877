"""What a messenger shows beside a chat, in words."""

from __future__ import annotations

from typing import Any


def beside_lines(body: dict[str, Any]) -> tuple[str, ...]:
    """Return the lines that tell how a message was shown, if not to everybody."""
    if "alone" in body:
        return (f"(shown to {body['alone'][2]} alone)",)
    return ()
