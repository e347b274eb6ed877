"""The one table of command words: help, menus and the README's list are made from it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from bot.grammar import (
    frost,
    leading,
    looks,
    lots,
    moving,
    own,
    pauses,
    people,
    plans,
    readings,
    remarks,
    reminding,
    reports,
    set_up,
)
from bot.grammar.text import Bag
from core import requests as asked
from core.folding import fold
from core.requests import Request

ALL, COORDINATORS = "all", "coordinators"
GROUP, PRIVATE, BOTH = "group", "private", "both"


@dataclass(frozen=True, slots=True, kw_only=True)
class Command:
    """One command.

    Attributes:
        word: the word taught, without the slash.
        other_words: what else is understood; may hold blanks.
        requests: the request types it can build.
        build: makes the request of the words after the command.
        section: set up, plan, report, look, ask, share, own, or buttons (not shown).
        who: `all`, or `coordinators` where it changes the set-up.
        where: `group`, `private` or `both`: where menus offer it (it is read everywhere).
        examples: lines that parse, the first one the plainest.
        later: may stand later in a line (`12 tomatoes up`).
        kept: of the words, those that are part of what is said (`dry`).
    """

    word: str
    build: Callable[[Bag], Request]
    requests: tuple[type[Request], ...]
    section: str
    examples: tuple[str, ...]
    other_words: tuple[str, ...] = ()
    who: str = ALL
    where: str = BOTH
    later: bool = False
    kept: tuple[str, ...] = ()


def _command(
    word: str,
    build: Callable[[Bag], Request],
    section: str,
    requests: tuple[type[Request], ...],
    *examples: str,
    also: str = "",
    who: str = ALL,
    where: str = BOTH,
    later: bool = False,
    kept: str = "",
) -> Command:
    others = tuple(one.strip() for one in also.split(",") if one.strip())
    return Command(
        word=word, build=build, requests=requests, section=section, examples=examples,
        other_words=others, who=who, where=where, later=later,
        kept=tuple(one.strip() for one in kept.split(",") if one.strip()),
    )  # fmt: skip


COMMANDS: tuple[Command, ...] = (
    # --- set up
    _command("start", looks.build_start, "set up", (asked.Start,), "/start", also="begin"),
    _command(
        "site", set_up.build_site, "set up", (asked.SetSite,),
        "/site Chicago", "/site zone America/Chicago",
        "/site fahrenheit inches round 7:30 quiet 21:00-7:00", "/site language es",
        also="place, location, settings", who=COORDINATORS, where=GROUP,
    ),
    _command(
        "frost", frost.build_frost, "set up", (asked.SetFrost,),
        "/frost 28 April", "/frost 10% 15 May 50% 28 Apr 90% 9 Apr", "/frost first 10 Oct",
        also="frosts, last frost, frost date, frost dates, first frost, when is the last frost, "
        "when is last frost, when's the last frost",
        kept="first frost, last frost", who=COORDINATORS, where=GROUP,
    ),
    _command(
        "shelf", set_up.build_shelf, "set up", (asked.SetShelf, asked.ShowShelf),
        "/shelf A", "/shelf A led 2 tubes 10cm 6:00-20:00 4 places mat timer", "/shelf space",
        also="rack",
    ),
    _command(
        "tray", set_up.build_tray, "set up", (asked.SetTray, asked.ShowTray, asked.Trays),
        "/tray T1", "/tray T1-T4 72 shelf A", "/tray T9 6x12", "/tray T3 retired",
        also="flat, move tray, add tray",
    ),
    _command(
        "lot", lots.build_lot, "set up", (asked.SetLot,),
        "/lot tomato Amber Pip 2025 10 of 10", "/lot L1 200 seeds", "/lot L2 used up", "/lot",
        also="lots, packet, seed packet, seed lot, seeds",
    ),
    _command(
        "duty", people.build_duty, "set up", (asked.SetDuty,),
        "/duty Ana mon wed T1-T4", "/duty me sat sun", "/duty",
        also="rota, on duty, who is on duty, who's on duty, whos on duty, whose turn",
        who=COORDINATORS,
    ),
    _command(
        "away", people.build_away, "set up", (asked.SetAway,),
        "/away 3 Apr - 10 Apr", "/away tomorrow", "/away off",
        also="absent, i'm away, i am away, im away, i'll be away, ill be away, holiday, "
        "can't come, cant come, cannot come, can't make it, cant make it, not coming",
    ),
    _command(
        "pause", pauses.build_pause, "set up", (asked.SetPause,),
        "/pause", "/pause T3", "/pause Ana", "/pause until 1 Sep",
        also="pause reminders",
    ),
    _command(
        "resume", pauses.build_resume, "set up", (asked.SetPause,), "/resume", "/resume T3",
        also="unpause, resume reminders",
    ),
    _command(
        "remind", reminding.build_remind, "set up", (asked.SetReminder, asked.EndReminder),
        "/remind Friday water T3", "/remind Ana tomorrow bring labels",
        also="reminder",
    ),
    _command(
        "rehearse", pauses.build_rehearse, "set up", (asked.Rehearse,),
        "/rehearse", "/rehearse 8 weeks", "/rehearse 4 weeks Ana never, everybody else sometimes",
        also="rehearsal", who=COORDINATORS,
    ),
    _command(
        "closed", people.build_closed, "set up", (asked.SetClosed,),
        "/closed 21 Dec - 3 Jan winter break", "/closed sat sun",
        also="closure, closures, close, shut", who=COORDINATORS, where=GROUP,
    ),
    _command(
        "member", people.build_member, "set up", (asked.SetMember,),
        "/member Ana coordinator", "/member add Ruth", '/member "Ana" name "Ana P"', "/member",
        also="members, people", who=COORDINATORS, where=GROUP,
    ),
    # --- plan
    _command(
        "when", plans.build_when, "plan", (asked.When,), "/when tomato", "/when tomato 30%",
        also="dates, when to",
    ),
    _command(
        "howmany", plans.build_howmany, "plan", (asked.HowMany,),
        "/howmany 24 tomato", "/howmany 24 tomato 95% L2",
        also="how many, how many seeds, how much, seeds for",
    ),
    _command(
        "plan", plans.build_plan, "plan", (asked.MakePlan,),
        "/plan 24 tomato, 12 pepper, 40 lettuce in two sowings", "/plan",
        "/plan 24 pepper sow 20 March", "/plan add 12 basil", "/plan drop pepper",
        also="plans",
    ),
    _command("season", plans.build_season, "plan", (asked.Season,), "/season", also="chart"),
    _command(
        "calendar", plans.build_calendar, "plan", (asked.Calendar,), "/calendar", also="ics, cal",
    ),
    # --- report
    _command(
        "sow", reports.build_sow, "report", (asked.Sow,),
        "/sow tomato T1 A1-B3", "/sow 2 per cell tomato T1 A1-B3 yesterday for bench 2",
        "/sow 12 cells basil T2", "/sow L2 T1 row B",
        also="sowed, sown, sowing, seeded, started, planted seeds, planted seed", later=True,
    ),
    _command(
        "up", reports.build_up, "report", (asked.Up,),
        "/up 12 tomato", "/up 12 T1 A1-B6", "/up all T1", "/up 3 more tomato", "/up none T2",
        also="emerged, sprouted, germinated, showing, came up, come up, are up, is up, coming up, "
        "have emerged, emergence, sprouts, sprout",
        later=True,
    ),
    _command(
        "watered", readings.build_watered, "report", (asked.Watered,),
        "/watered all", "/watered T1 T2", "/watered T1 from below",
        also="water, watering, waterd, gave water", later=True,
    ),
    _command(
        "moist", readings.build_moist, "report", (asked.Moist,),
        "/moist T1 dry", "/moist T2 right", "/moist T3 wet",
        also="moisture, dry, wet, soggy, waterlogged, bone dry, too wet, too dry", later=True,
        kept="dry, wet, soggy, waterlogged, bone dry, too wet, too dry",
    ),
    _command(
        "temp", readings.build_temp, "report", (asked.Temp,),
        "/temp T1 68F", "/temp shelf A air 21C", "/temp low 3C", "/temp tonight -1C",
        also="temps, temperature, temperatures, thermometer, soil temp, mix temp, air temp, low, "
        "forecast, tonight",
        kept="soil temp, mix temp, air temp, low, forecast, tonight",
        later=True,
    ),
    _command(
        "light", readings.build_light, "report", (asked.Light,),
        "/light A 4500 lx", "/light A 14h", "/light A 4in", "/light T1 180 umol",
        also="lamp, lights, lamps, lux, ppfd",
    ),
    _command(
        "thinned", reports.build_thinned, "report", (asked.Thinned,),
        "/thinned T1", "/thinned tomato to 1 per cell",
        also="thin, thinning, thinned out, singled", later=True,
    ),
    _command(
        "potted", moving.build_potted, "report", (asked.Potted,),
        "/potted T1 row B into T5", "/potted 6 tomato", "/potted T1 A1-B3 into T5 A1-A6",
        "/potted T1 into 4 inch pots on shelf B",
        also="pot, pot up, potted up, potted on, pricked out, prick out, pricked, transplanted, "
        "repotted, moved up, uppotted, potting up",
        later=True,
    ),
    _command(
        "move", moving.build_move, "report", (asked.Move,),
        "/move S8 to T2", "/move T1 A1-A6 to T3", "/move T1 to shelf B", "/move T1 cold frame",
        also="moved to, moving",
    ),
    _command(
        "fed", readings.build_fed, "report", (asked.Fed,), "/fed T1", "/fed T1 100 ppm",
        "/fed T1 half strength",
        also="feed, feeding, fertilized, fertilised, fertilize, fertilise, fertilizer", later=True,
    ),
    _command(
        "out", readings.build_out, "report", (asked.Out,),
        "/out 3h T2", "/out T2 overnight", "/out 3h",
        also="outside, hardening, hardened, hardened off, hardening off, put out, "
        "set out, outdoors",
        later=True, kept="once",
    ),
    _command(
        "harden", moving.build_harden, "report", (asked.Harden,),
        "/harden T2", "/harden S4",
        also="harden off, start hardening, start hardening off, begin hardening off",
    ),
    _command(
        "planted", reports.build_planted, "report", (asked.Planted,),
        "/planted 12 tomato", "/planted 4 tomato to Ana",
        also="planted out, plant out, plant, handed out, gave away, hand out, given, gave, "
        "planting, bedded out",
        later=True,
    ),
    _command(
        "lost", reports.build_lost, "report", (asked.Lost,),
        "/lost 3 pepper damping off", "/lost 2 T1 A1-B3 slugs",
        also="died, dead, lose, loss, killed, failed", later=True,
    ),
    _command(
        "note", remarks.build_note, "report", (asked.Note,),
        "/note T1 looks a bit yellow", "/note T1 yesterday: mouse ate a corner",
        also="notes, remark, memo",
    ),
    _command(
        "undo", reports.build_undo, "report", (asked.Undo,),
        "/undo", "/undo R12", "/undo last", also="take back, revert, oops, mistake",
    ),
    # --- look
    _command(
        "due", looks.build_due, "look", (asked.Due,), "/due", "/due mine",
        also="todo, to do, jobs, what's due, whats due, what is due, tasks, today's jobs, "
        "what should i do, what should we do, what do i do, what do we do, what can i do, "
        "what needs doing, what needs to be done, what's to do, what is there to do, "
        "what needs water, what needs watering, do i need to water, do we need to water, "
        "does anything need water, anything to do, anything due",
    ),
    _command("trays", looks.build_trays, "look", (asked.Trays,), "/trays", also="flats, all trays"),
    _command(
        "shelves", own.build_shelves, "look", (asked.ShowShelf,), "/shelves", also="racks, space",
    ),
    _command(
        "curve", looks.build_curve, "look", (asked.Curve,), "/curve tomato", "/curve S3",
        also="curves, emergence curve",
    ),
    _command(
        "report", looks.build_results, "look", (asked.Results,), "/report", "/report file",
        also="results, what worked, summary",
    ),
    _command(
        "compare", looks.build_compare, "look", (asked.Compare,),
        "/compare L1 vs L2 tomato", "/compare S1 vs S2", also="comparison",
    ),
    _command(
        "crop", looks.build_crop, "look", (asked.CropInfo,), "/crop tomato", "/crop",
        also="crops, about",
    ),
    # --- ask
    _command(
        "ask", remarks.build_ask, "ask", (asked.Ask,),
        "/ask T1 tomatoes are tall and floppy",
        also="question, why, trouble, problem", kept="why",
    ),
    # --- share out
    _command(
        "wish", plans.build_wish, "share", (asked.Wish,), "/wish 4 tomato", "/wish",
        also="wishes, i'd like, i would like, want, i want",
    ),
    _command(
        "share", plans.build_share, "share", (asked.ShareOut,), "/share", "/share tomato",
        also="share out, shares, sharing",
    ),
    _command(
        "labels", plans.build_labels, "share", (asked.Labels,),
        "/labels T1", "/labels stake", "/labels card T1", "/labels sheet letter 3x10", also="label",
    ),
    _command(
        "sheet", plans.build_sheet, "share", (asked.Sheet,),
        "/sheet week", "/sheet sowing", "/sheet rota", "/sheet season", also="wall sheet, poster",
    ),
    _command(
        "tags", plans.build_tags, "share", (asked.Tags,),
        "/tags", "/tags tomato", also="tag, take-home tags, care cards",
    ),
    # --- own
    _command(
        "swap", looks.build_swap, "own", (asked.Swap,), "/swap thursday", also="swaps, cover",
    ),
    _command(
        "break", looks.build_break, "look", (asked.Break,), "/break", "/break after",
        also="before the break, holidays",
    ),
    _command(
        "me", people.build_me, "own", (asked.Me,),
        "/me", "/me celsius", "/me name Ana", "/me quiet 21:00-7:00", "/me reminders off",
        "/me thanks",
        also="my settings, my", where=PRIVATE,
    ),
    _command(
        "export", looks.build_export, "own", (asked.Export,), "/export",
        also="download, my data, export all", where=PRIVATE,
    ),
    _command(
        "import", looks.build_import, "own", (asked.Import,), "/import",
        also="read in, upload", who=COORDINATORS,
    ),
    _command(
        "forgetme", looks.build_forget_me, "own", (asked.ForgetMe,), "/forgetme",
        "/forgetme sure", also="forget me, forget, delete me", where=PRIVATE,
    ),
    _command(
        "endgroup", looks.build_end_group, "own", (asked.EndGroup,), "/endgroup",
        "/endgroup sure", also="delete group, delete the group, end the group",
        who=COORDINATORS, where=GROUP,
    ),
    _command(
        "help", own.build_help, "own", (asked.Help,), "/help", "/help sow",
        also="commands, how do i, what can i say, ?",
    ),
    # --- buttons only
    _command("done", looks.build_done, "buttons", (asked.Done,), "/done 12"),
    _command("step", leading.build_step, "buttons", (asked.Lead,), "/step act:up S1"),
    _command(
        "instead", remarks.build_instead, "buttons", (asked.Instead,),
        "/instead R12 /up 21 S1",
    ),
    _command("letgo", looks.build_nothing, "buttons", (asked.Nothing,), "/letgo"),
    _command("answer", looks.build_answer, "buttons", (asked.Answer,), "/answer 5 yes"),
)  # fmt: skip


def command_of(word: str) -> Command | None:
    """Return the command of a word or other word, lower case, without the slash."""
    return WORDS.get(fold(word))


WORDS: dict[str, Command] = {
    word: command for command in COMMANDS for word in (command.word, *command.other_words)
}
