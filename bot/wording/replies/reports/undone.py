"""Reports taken back, and the last ones listed."""

from __future__ import annotations

from typing import assert_never

from bot.message import Message
from bot.wording.pieces.levels import level_said
from bot.wording.replies.reports.wrote import day_said
from bot.wording.voice import Voice
from core.replies import reports as r
from core.report_kinds import ReportKind


def act_name(line: r.ActLine, voice: Voice) -> str:
    """Return an act in a few words, as lists and corrections name it."""
    s = line.summary
    where = voice.listed([str(t) for t in s.get("targets", ())]) or str(s.get("sowing", ""))
    crop = voice.crop(str(s["crop"])) if s.get("crop") else ""
    kind = ReportKind(line.kind)
    match kind:
        case ReportKind.SOW:
            return voice.say(
                "{sowing}: {crop} sown in {tray} {cells}",
                sowing=s.get("sowing", ""),
                crop=crop,
                tray=s.get("tray", ""),
                cells=s.get("cells", ""),
            )
        case ReportKind.UP:
            return voice.say("{sowing} {crop}: {n} up", sowing=where, crop=crop, n=s.get("total"))
        case ReportKind.WATERED:
            return voice.say("watered {where}", where=where)
        case ReportKind.MOIST:
            return voice.say(
                "{where}: mix {level}",
                where=where,
                level=level_said(voice, str(s.get("level", ""))),
            )
        case ReportKind.FED:
            return voice.say("fed {where}", where=where)
        case ReportKind.THINNED:
            return voice.say("thinned {where}", where=where)
        case ReportKind.POTTED:
            return voice.say(
                "{sowing} {crop}: {n} potted up", sowing=where, crop=crop, n=s.get("count")
            )
        case ReportKind.MOVED:
            return voice.say("{where} moved", where=where)
        case ReportKind.HARDEN:
            return voice.say("{where}: hardening off begun", where=where)
        case ReportKind.TEMP:
            return voice.say("{temp} read", temp=voice.temp_exact(float(s.get("temp_c", 0))))
        case ReportKind.LIGHT:
            return voice.say("light on shelf {shelf}", shelf=s.get("place", ""))
        case ReportKind.OUT:
            return voice.say("{where} outside", where=where)
        case ReportKind.PLANTED:
            return voice.say(
                "{sowing} {crop}: {n} planted out", sowing=where, crop=crop, n=s.get("count")
            )
        case ReportKind.LOST:
            return voice.say("{sowing} {crop}: lost", sowing=where, crop=crop)
        case ReportKind.NOTE:
            return voice.say("note: {text}", text=s.get("text", ""))
        case _:
            assert_never(kind)


def undone(reply: r.Undone, voice: Voice) -> Message:
    return Message(
        text=voice.say(
            "Taken back: {what} (R{act}). It no longer counts.",
            what=act_name(reply.line, voice),
            act=reply.line.act,
        )
    )


def all_undone(reply: r.AllUndone, voice: Voice) -> Message:
    lines = [
        voice.say_n(
            "Taken back, {n} report. It no longer counts:",
            "Taken back, {n} reports. They no longer count:", len(reply.lines),
        )
    ]  # fmt: skip
    lines += [
        voice.say("R{act}  {what}", act=line.act, what=act_name(line, voice))
        for line in reply.lines
    ]
    return Message(text="\n".join(lines))


def undo_list(reply: r.UndoList, voice: Voice) -> Message:
    from bot.message import Button
    from core.requests import Undo

    lines = [voice.say("What should I take back?")]
    rows = []
    for line in reply.lines:
        lines.append(
            voice.say(
                "R{act}  {what}, {who}, {day}",
                act=line.act,
                what=act_name(line, voice),
                who=line.by or voice.say("somebody"),
                day=day_said(voice, line.on),
            )
        )
        rows.append((Button(voice.say("Undo R{act}", act=line.act), Undo(report=f"R{line.act}")),))
    return Message(text="\n".join(lines), rows=tuple(rows))
