"""A request to somebody becomes an offer to remind: `please water T3 tomorrow`.

Who asks me to remind them is taken at their word; what is asked of others is offered, since it
may have been said to somebody who heard it.
"""

from __future__ import annotations

from bot import grammar
from bot.grammar.context import GrammarContext, Line
from bot.reading.scan import Mention, Scan
from core import requests as r

_ABOUT = ("tray", "crop", "variety", "shelf", "sowing", "lot")


def reminder_wanted(scan: Scan, mentions: list[Mention], context: GrammarContext) -> Line | None:
    """Return the line of a message that asks to be reminded; None = it does not."""
    lead = next((m for m in mentions if m.has("remind", "me") or m.has("remind", "us")), None)
    if lead is None or any(m.kind == "sign" and m.value == "?" for m in mentions[:-1]):
        return None
    if any(m.has("mood", "not") or m.has("setup", "reminders_off") for m in mentions):
        return None
    request = _read(scan, [m for m in mentions if m is lead or m.has("remind", "polite")], context)
    if request is None:
        return None
    whom = "me" if lead.has("remind", "me") else request.who
    return Line(
        typed=scan.text,
        request=r.SetReminder(text=request.text, on=request.on, who=whom),
    )


def offer(scan: Scan, mentions: list[Mention], context: GrammarContext) -> Line | None:
    """Return the offer to remind of what a message asks of somebody; None = there is nothing."""
    named = any(m.kind in _ABOUT for m in mentions)
    if not named or any(m.has("mood", "question") for m in mentions):
        return None
    request = _read(scan, [m for m in mentions if m.has("remind", "polite")], context)
    if request is None or (request.on is not None and request.on < context.today):
        return None  # `remember T3 had 30 up yesterday` looks back
    return Line(typed=scan.text, proposed=(request,))


def asked_politely(mentions: list[Mention]) -> bool:
    """Whether a question asks somebody to do something: `can someone water T3 on Friday?`"""
    at = next((i for i, m in enumerate(mentions) if m.has("remind", "polite")), None)
    if at is None or not mentions[at].has("mood", "request"):
        return False
    return any(m.has("weak", work) for m in mentions[at:] for work in _WORK)


_WORK = ("watered", "fed", "thinned", "potted", "out", "planted", "sow", "moist")


def _read(scan: Scan, without: list[Mention], context: GrammarContext) -> r.SetReminder | None:
    """Read a message without some of its words as what to remind of."""
    kept = scan.text
    for m in sorted(without, key=lambda one: -one.first):
        kept = kept[: scan.tokens[m.first].start] + " " + kept[scan.tokens[m.last].end :]
    kept = " ".join(kept.split()).strip(" ,.;:!?¿¡")
    lines = grammar.parse(f"/remind {kept}", context)
    if len(lines) == 1 and isinstance(lines[0].request, r.SetReminder):
        return lines[0].request
    return None
