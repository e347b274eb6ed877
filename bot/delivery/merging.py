"""Several answers that wait for one group as one message: each is said to whom it is for."""

from __future__ import annotations

import re
from collections import Counter
from typing import Any

Json = dict[str, Any]
MOST_ROWS = 8
_REPORT = re.compile(r"\bR\d+\b")


def merged(bodies: tuple[tuple[str | None, Json], ...]) -> Json:
    """Return one body for (who asked, body) in order; a single one as it is.

    Buttons of the same label are told apart by the report that they speak of.
    """
    if len(bodies) == 1:
        return bodies[0][1]
    text, before = "", None
    mentions: list[list[int]] = []
    rows: list[list[list[str]]] = []
    for asker, body in bodies:
        if text:
            text += "\n"
        if asker and asker != before:
            text += f"{asker}: "
        before = asker
        mentions += [
            [start + len(text), size, who] for start, size, who in body.get("mentions", ())
        ]
        text += str(body.get("text", ""))
        rows += [[list(button) for button in row] for row in body.get("buttons", ())]
    told_apart(rows)
    whole: Json = {"text": text}
    if rows:
        whole["buttons"] = rows[:MOST_ROWS]
    if mentions:
        whole["mentions"] = mentions
    return whole


def told_apart(rows: list[list[list[str]]]) -> None:
    """Add the report to labels that stand on more than one button, in place."""
    often = Counter(label for row in rows for label, _ in row)
    for row in rows:
        for button in row:
            found = _REPORT.search(button[1])
            if often[button[0]] > 1 and found is not None and found[0] not in button[0]:
                button[0] = f"{button[0]} {found[0]}"
