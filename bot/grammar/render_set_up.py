"""Set-up requests as canonical command text."""

from __future__ import annotations

from bot.grammar.render_parts import clock, day, degrees, number, places, quoted, words
from core import requests as asked
from core.requests import Request

_WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def render_set_up(request: Request) -> str | None:
    """Return the command text of a set-up request, None for any other."""
    match request:
        case asked.SetSite():
            return words(
                "/site",
                f"place {quoted(request.place)}" if request.place else "",
                f"zone {request.zone}" if request.zone else "",
                f"language {request.language}" if request.language else "",
                _units(request.fahrenheit, request.inches),
                f"round {clock(request.round_at)}" if request.round_at else "",
                _quiet(request),
                f"reminders {request.channel}" if request.channel else "",
                {None: "", True: "answers brief", False: "answers full"}[request.brief],
                f"name {quoted(request.name)}" if request.name else "",
            )
        case asked.Me():
            reminders = {None: "", True: "reminders on", False: "reminders off"}
            return words(
                "/me",
                f"name {quoted(request.name)}" if request.name else "",
                f"language {request.language}" if request.language else "",
                _units(request.fahrenheit, request.inches),
                reminders[request.reminders],
                f"reminders at {clock(request.remind_at)}" if request.remind_at else "",
                _quiet(request),
                {None: "", True: "thanks on", False: "thanks off"}[request.thanks],
                f"group {request.group}" if request.group is not None else "",
            )
        case asked.SetFrost():
            dates = (
                ("typical", request.typical),
                ("10%", request.late),
                ("50%", request.middle),
                ("90%", request.early),
                ("first", request.first),
            )
            said = [f"{label} {day(on)}" for label, on in dates if on]
            return words("/frost", *said, _units(request.fahrenheit, None))
        case asked.SetShelf():
            return _shelf(request)
        case asked.SetTray():
            return words(
                "/tray add",
                " ".join(request.codes),
                f"{request.cells} cells" if request.cells else "",
                f"{request.rows}x{request.cols}" if request.rows else "",
                f"shelf {request.shelf}" if request.shelf else "",
                "retired" if request.retired else "",
            )
        case asked.SetLot():
            return _lot(request)
        case asked.SetDuty():
            return words(
                "/duty",
                " ".join("me" if name == "me" else quoted(name) for name in request.who),
                " ".join(_WEEKDAYS[number] for number in request.weekdays),
                places(request.where),
                " ".join(day(on) for on in request.days),
                "off" if request.off else "",
            )
        case asked.SetAway():
            return words("/away", _span(request), _who(request.who), _off(request.off))
        case asked.Rehearse():
            weeks = f"{request.weeks} weeks" if request.weeks else ""
            habits = (
                f"{quoted(name) if name else 'everybody'} {habit}" for name, habit in request.habits
            )
            return words("/rehearse", weeks, *habits)
        case asked.SetReminder():
            who = "me" if request.who == "me" else _who(request.who)
            head = words(who, request.on.isoformat() if request.on else "")
            return f"/remind {head}: {request.text}"
        case asked.EndReminder():
            return f"/remind {'done' if request.done else 'off'} {request.reminder}"
        case asked.SetPause():
            who = "me" if request.who == "me" else _who(request.who)
            until = f"until {day(request.until)}" if request.until else ""
            word = "/resume" if request.off else "/pause"
            return words(word, " ".join(request.trays), who, until)
        case asked.SetClosed():
            weekdays = " ".join(_WEEKDAYS[number] for number in request.weekdays)
            label = quoted(request.label) if request.label else ""
            return words("/closed", _span(request), weekdays, label, _off(request.off))
        case asked.SetMember():
            role = {None: "", True: "coordinator", False: "not coordinator"}
            return words(
                "/member",
                "add" if request.added else "",
                _who(request.name),
                f"name {quoted(request.new_name)}" if request.new_name else "",
                role[request.coordinator],
                "removed" if request.removed else "",
            )
    return None


def _units(fahrenheit: bool | None, inches: bool | None) -> str:
    return words(
        {None: "", True: "fahrenheit", False: "celsius"}[fahrenheit],
        {None: "", True: "inches", False: "cm"}[inches],
    )


def _quiet(request: asked.SetSite | asked.Me) -> str:
    start, end = request.quiet_from, request.quiet_to
    if start is not None and end is not None:
        return f"quiet {clock(start)}-{clock(end)}"
    return words(
        f"quiet from {clock(start)}" if start is not None else "",
        f"quiet to {clock(end)}" if end is not None else "",
    )


def _who(name: str | None) -> str:
    return quoted(name) if name else ""


def _off(off: bool) -> str:
    return "off" if off else ""


def _span(request: asked.SetAway | asked.SetClosed) -> str:
    if request.first is None:
        return ""
    if request.last is None:
        return f"from {day(request.first)}"
    if request.last == request.first:
        return day(request.first)
    return f"{day(request.first)} - {day(request.last)}"


def _shelf(request: asked.SetShelf) -> str:
    if request.code is None:
        return "/shelf"
    on, off = request.on_at, request.off_at
    if on is not None and off is not None:
        hours = f"{clock(on)}-{clock(off)}"
    else:
        hours = words(f"on {clock(on)}" if on else "", f"off {clock(off)}" if off else "")
    mat = {None: "", True: "mat", False: "no mat"}[request.heat_mat]
    timer = {None: "", True: "timer", False: "no timer"}[request.timer]
    usual = request.usual_temp_c
    return words(
        "/shelf add shelf",
        request.code,
        f"lamp:{request.lamp}" if request.lamp else "",
        f"{request.tubes} tubes" if request.tubes is not None else "",
        f"{number(request.height_mm)} mm" if request.height_mm is not None else "",
        hours,
        f"{request.places} places" if request.places is not None else "",
        mat,
        timer,
        f"usual {degrees(usual)}" if usual is not None else "",
    )


def _lot(request: asked.SetLot) -> str:
    treated = {None: "", True: "treated", False: "untreated"}[request.treated]
    test = ""
    if request.tested_up is not None and request.tested_of is not None:
        test = f"tested {request.tested_up} of {request.tested_of}"
    label = request.label_percent
    return words(
        "/lot",
        request.code,
        request.crop,
        f"variety {quoted(request.variety)}" if request.variety else "",
        request.packed_for,
        test,
        f"label {number(label)}%" if label is not None else "",
        treated,
        f"{request.seeds} seeds" if request.seeds is not None else "",
        f"{number(request.grams)} g" if request.grams is not None else "",
        f"{request.maturity_days} days" if request.maturity_days is not None else "",
        "used up" if request.used_up else "",
    )
