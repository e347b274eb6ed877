"""The garden in which the corpus was written: Tuesday 16 March 2027, 17:30, eight people."""

from __future__ import annotations

from datetime import UTC, datetime

from bot.incoming import Event, Incoming
from bot.talk.conversation import respond
from core.records.database import Database

PLATFORM, GROUP_CHAT = "corpus", "garden"
NOW = datetime(2027, 3, 16, 22, 30, tzinfo=UTC)  # 17:30 in Chicago
MEMBERS = ("Ana", "Ben", "Cleo", "Dev", "Tomás", "Jo", "Mei", "Robin")
SPEAKER = "Ben"

_SET_UP = """/site zone America/Chicago
/site fahrenheit inches
/frost 25 May
/shelf A led 2 tubes 4in 6:00-20:00 8 places mat timer
/shelf B fluorescent 4 tubes 4in 6:00-20:00 8 places timer
/shelf W window 4 places
/tray T1-T2 72 shelf A
/tray T3 5x10 shelf A
/tray T4-T5 72 shelf B
/tray T6 5x10 shelf B
/tray T7 72 shelf B
/tray T8 72 shelf A
/tray T9 5x10 shelf W
/tray T10 3x6 shelf W
/lot tomato Amber Pip 2026
/lot pepper Copper Bell 2026
/lot lettuce Green Frill 2025
/lot radish 2026
/lot basil 2026
/lot zinnia 2026"""

_SOWN = """/sow L1 T1 all 6 March
/sow L2 T2 all 1 March
/sow L5 T3 all 4 March
/sow kale T4 all 4 March
/sow L3 T6 rows A-B 4 March
/sow marigold T6 rows C-E 4 March
/sow onion T7 all 12 March
/sow celery T8 all 8 March
/up T1 40 yesterday
/up T2 10 yesterday
/up T3 30 yesterday
/up T4 60 yesterday
/up S5 15 yesterday
/up S6 8 yesterday"""

_DUTY = """/duty Ben tue fri
/duty Cleo mon thu
/duty Ana wed"""


def build(database: Database, *, spanish: bool = False, empty: bool = False) -> None:
    """Bring the garden about as any group would: line by line."""
    number = 0
    for name in MEMBERS:
        lines = "/start" if name == "Ana" else "/due"
        number += 1
        say(database, name, lines, number)
    if empty:
        return
    language = ["/site celsius cm language es"] if spanish else []
    for line in (*_SET_UP.split("\n"), *_SOWN.split("\n"), *_DUTY.split("\n"), *language):
        number += 1
        say(database, "Ana", line, number)


def incoming(name: str, text: str, key: str, *, private: bool = False) -> Incoming:
    """Return what a member types, in the group to the bot or in private."""
    return Incoming(
        platform=PLATFORM,
        key=key,
        chat=f"private:{name}" if private else GROUP_CHAT,
        private=private,
        event=Event.TEXT,
        text=text,
        title=None if private else "garden",
        user=name,
        name=name,
        username=name.casefold(),
        language="en",
        addressed=not private,
    )


def say(database: Database, name: str, text: str, number: int) -> list[str]:
    """Say a line in the group; return the answers."""
    with database.transaction() as session:
        said = respond(session, incoming(name, text, str(number)), NOW)
        return [message.text for message in said]
