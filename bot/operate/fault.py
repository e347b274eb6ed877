"""What a log says of an error: its type and where it arose, never the words of a member.

An error's own text may quote what somebody wrote, or an account's id.
"""

from __future__ import annotations

import traceback
from pathlib import Path

FRAMES = 3


def place(error: BaseException | None) -> str:
    """Return the type of an error and the last places it came through, innermost first."""
    frames = traceback.extract_tb(None if error is None else error.__traceback__)[-FRAMES:]
    where = " < ".join(f"{_short(frame.filename)}:{frame.lineno}" for frame in reversed(frames))
    return f"{type(error).__name__} at {where or 'an unknown place'}"


def _short(filename: str) -> str:
    return "/".join(Path(filename).parts[-3:])
