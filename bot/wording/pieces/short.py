"""What somebody typed, cut to be said back in one line."""

from __future__ import annotations

MOST_TYPED = 60  # characters of what was typed that are said back


def short(typed: str) -> str:
    """Return what was typed in one line, cut to be said back."""
    typed = " ".join(typed.split())
    return typed if len(typed) <= MOST_TYPED else typed[: MOST_TYPED - 1].rstrip() + "…"
