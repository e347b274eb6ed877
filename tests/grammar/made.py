"""Hypothesis strategies for every request type, and the context they are read in."""

from __future__ import annotations

from dataclasses import is_dataclass
from datetime import date, time

from hypothesis import strategies as st

from bot.grammar import GrammarContext
from core import requests as asked
from core.cells import ALL_CELLS, Cell, CellPart, CellSpec, Part
from core.due.kinds import Channel
from core.trade.crops.table import CROPS

TODAY = date(2027, 4, 10)  # a Saturday
CONTEXT = GrammarContext(today=TODAY)

days = st.dates(date(2025, 1, 1), date(2030, 12, 31))
times = st.builds(time, st.integers(0, 23), st.integers(0, 59))
counts = st.integers(0, 5000)
ids = st.integers(1, 10**12)
crops = st.sampled_from([crop.id for crop in CROPS.rows()])
_ODD_NAMES = ["Ana", "bench 2", "Zoë M", "O'Hara", "me too", "June", "T1", "12", "yesterday"]
names = (
    st.one_of(
        st.sampled_from(_ODD_NAMES),
        st.text(st.sampled_from("abcdeéøABC '-"), min_size=1, max_size=20),
    )
    .map(lambda name: " ".join(name.split()))
    .filter(lambda name: any(c.isalnum() for c in name) and name != "me")
)
remarks = (
    st.one_of(
        st.sampled_from(["T1 looks yellow", "note: all wet", "12 tomato", ": dry", "on 3/4"]),
        st.text(st.sampled_from("abc XYZ:,.!?12%/é'"), min_size=1, max_size=60),
    )
    .map(lambda text: " ".join(text.split()))
    .filter(lambda text: any(c.isalnum() for c in text) and not text.startswith(":"))
)
numbers = st.one_of(
    st.integers(0, 3000).map(float),
    st.decimals("0.001", "3000", places=3).map(float),
)
trays = st.integers(1, 300).map(lambda n: f"T{n}")
shelves = st.sampled_from(["A", "B", "TOP", "S2", "2"])
lots = st.integers(1, 300).map(lambda n: f"L{n}")
sowings = st.integers(1, 300).map(lambda n: f"S{n}")
cells = st.builds(Cell, st.integers(0, 25), st.integers(0, 39))
parts = st.one_of(
    st.builds(lambda a, b: CellPart(Part.RANGE, a, b), cells, cells),
    st.builds(lambda a: CellPart(Part.RANGE, a, a), cells),
    st.integers(0, 25).map(lambda row: CellPart(Part.ROW, Cell(row, 0))),
    st.integers(0, 39).map(lambda col: CellPart(Part.COLUMN, Cell(0, col))),
)
specs = st.one_of(
    st.just(ALL_CELLS), st.lists(parts, min_size=1, max_size=4).map(lambda p: CellSpec(tuple(p)))
)


@st.composite
def wheres(draw: st.DrawFn, crop: bool = True, lot: bool = True) -> asked.Where:
    """A place as the grammar can make one: cells only within one tray."""
    some = draw(st.lists(trays, max_size=3, unique=True))
    return asked.Where(
        trays=tuple(some),
        cells=draw(st.one_of(st.none(), specs)) if len(some) == 1 else None,
        crop=draw(st.one_of(st.none(), crops)) if crop else None,
        sowing=draw(st.one_of(st.none(), sowings)),
        shelf=draw(st.one_of(st.none(), shelves)),
        lot=draw(st.one_of(st.none(), lots)) if lot else None,
        everything=not some and draw(st.booleans()),
    )


def opt(of: st.SearchStrategy) -> st.SearchStrategy:
    return st.one_of(st.none(), of)


def some_where(where: asked.Where) -> bool:
    return not where.empty


told = {"on": opt(days), "for_whom": opt(names), "notice": opt(ids), "where": wheres()}
flag = opt(st.booleans())
own = {
    "name": opt(names), "fahrenheit": flag, "inches": flag, "quiet_from": opt(times),
    "quiet_to": opt(times), "language": opt(st.sampled_from(["en", "de", "es", "fr"])),
}  # fmt: skip


def _span(kind: type, **more: st.SearchStrategy) -> st.SearchStrategy:
    ends = st.one_of(
        st.just((None, None)),
        st.tuples(days, days).map(lambda pair: tuple(sorted(pair))),
        st.tuples(days, st.none()),
    )
    return st.tuples(ends, st.fixed_dictionaries(more)).map(
        lambda made: kind(first=made[0][0], last=made[0][1], **made[1])
    )


@st.composite
def sow(draw: st.DrawFn) -> asked.Sow:
    counted = draw(st.booleans())
    crop = draw(opt(crops))
    return asked.Sow(
        where=asked.Where(
            trays=(draw(trays),), cells=None if counted else draw(specs)
        ),
        on=draw(opt(days)), for_whom=draw(opt(names)), notice=draw(opt(ids)),
        crop=crop, variety=draw(opt(names)),
        lot=draw(opt(lots) if crop else lots),
        cell_count=draw(st.integers(1, 500)) if counted else 0,
        seeds_per_cell=draw(st.integers(0, 50)), depth_mm=draw(opt(numbers)),
        again=draw(st.booleans()),
    )  # fmt: skip


@st.composite
def frost(draw: st.DrawFn) -> asked.SetFrost:
    chances = sorted(draw(st.lists(st.dates(date(2027, 1, 1), date(2027, 6, 28)),
                                   min_size=3, max_size=3)))  # fmt: skip
    early, middle, late = (draw(st.sampled_from([one, None])) for one in chances)
    return asked.SetFrost(
        typical=draw(opt(days)), early=early, middle=middle, late=late, first=draw(opt(days)),
        fahrenheit=draw(flag),
    )  # fmt: skip


percents = st.integers(1, 999).map(lambda n: n / 1000)
light = st.fixed_dictionaries(
    {name: opt(numbers) for name in ("ppfd", "lux", "height_mm", "hours")}
)
items = st.builds(
    asked.PlanItem, crop=crops, plants=counts, sowings=st.integers(1, 20), variety=opt(names)
)
pinned = st.builds(asked.PlanItem, crop=crops, plants=counts, variety=opt(names), sow_on=days)
tests_of_ten = st.tuples(st.integers(0, 100), st.integers(1, 200)).map(
    lambda pair: (min(pair), max(pair))
)

BY_TYPE: dict[type[asked.Request], st.SearchStrategy] = {
    asked.Start: st.builds(asked.Start, payload=opt(st.sampled_from(["T1", "g12", "abc_D-1"]))),
    asked.SetSite: st.builds(
        asked.SetSite, place=opt(names),
        zone=opt(st.sampled_from(["America/Chicago", "Europe/Oslo", "UTC", "Etc/GMT+3",
                                  "America/Argentina/Ushuaia"])),
        round_at=opt(times),
        channel=opt(st.sampled_from([channel.value for channel in Channel])), brief=flag, **own,
    ),
    asked.SetFrost: frost(),
    asked.SetShelf: st.one_of(
        st.just(asked.SetShelf()),
        st.builds(
            asked.SetShelf, code=shelves, lamp=opt(st.sampled_from(["white_led", "window"])),
            tubes=opt(st.integers(0, 20)), height_mm=opt(numbers), on_at=opt(times),
            off_at=opt(times), places=opt(st.integers(0, 40)), heat_mat=flag, timer=flag,
            usual_temp_c=opt(st.integers(-20, 45).map(float)),
        ),
    ),
    asked.SetTray: st.one_of(
        st.builds(
            asked.SetTray, codes=st.lists(trays, min_size=1, max_size=4, unique=True).map(tuple),
            cells=st.integers(0, 300), shelf=opt(shelves), retired=st.booleans(),
        ),
        st.builds(
            asked.SetTray, codes=trays.map(lambda one: (one,)), rows=st.integers(1, 26),
            cols=st.integers(1, 40), shelf=opt(shelves),
        ),
    ),
    asked.SetLot: st.builds(
        lambda tested, **more: asked.SetLot(
            tested_up=tested and tested[0], tested_of=tested and tested[1], **more
        ),
        tested=opt(tests_of_ten), code=opt(lots), crop=opt(crops), variety=opt(names),
        packed_for=opt(st.integers(1990, 2040)), label_percent=opt(st.integers(0, 100).map(float)),
        treated=flag, used_up=st.booleans(), seeds=opt(st.integers(0, 5000)),
        grams=opt(st.integers(1, 900).map(lambda tenths: tenths / 10)),
        maturity_days=opt(st.integers(15, 400)),
    ),
    asked.SetDuty: st.builds(
        asked.SetDuty, who=st.lists(st.one_of(st.just("me"), names), min_size=1, max_size=3,
                                    unique=True).map(tuple),
        weekdays=st.sets(st.integers(0, 6)).map(lambda found: tuple(sorted(found))),
        where=st.builds(
            asked.Where, trays=st.lists(trays, max_size=3, unique=True).map(tuple),
            shelf=opt(shelves),
        ),
        days=st.lists(days, max_size=3).map(tuple), off=st.booleans(),
    ),
    asked.SetAway: _span(asked.SetAway, who=st.none(), off=st.booleans()),
    asked.Rehearse: st.builds(
        asked.Rehearse, weeks=st.integers(0, 99),
        habits=st.dictionaries(
            st.one_of(st.just(""), names), st.sampled_from(["always", "sometimes", "never"]),
            max_size=3,
        ).map(lambda found: tuple(sorted(found.items(), key=lambda pair: pair[0] == ""))),
    ),
    asked.SetReminder: st.builds(
        asked.SetReminder, text=names, on=opt(days), who=st.one_of(st.none(), st.just("me"), names)
    ),
    asked.EndReminder: st.builds(
        asked.EndReminder, reminder=st.integers(1, 10**9), done=st.booleans()
    ),
    asked.SetPause: st.one_of(
        st.builds(
            asked.SetPause, trays=st.lists(trays, max_size=3, unique=True).map(tuple),
            until=opt(days),
        ),
        st.builds(asked.SetPause, who=st.one_of(st.just("me"), names), until=opt(days)),
        st.builds(asked.SetPause, who=st.one_of(st.none(), names), off=st.just(True)),
        st.builds(
            asked.SetPause, trays=st.lists(trays, max_size=3, unique=True).map(tuple),
            off=st.just(True),
        ),
    ),
    asked.SetClosed: st.one_of(
        _span(asked.SetClosed, off=st.booleans()),
        st.builds(
            asked.SetClosed, first=days, last=st.just(date(2031, 1, 1)), label=names,
            weekdays=st.just(()),
        ),
        st.builds(
            asked.SetClosed, off=st.booleans(),
            weekdays=st.sets(st.integers(0, 6), min_size=1).map(lambda f: tuple(sorted(f))),
        ),
    ),
    asked.SetMember: st.one_of(
        st.just(asked.SetMember()),
        st.builds(asked.SetMember, name=names, new_name=opt(names), coordinator=flag),
        st.builds(asked.SetMember, name=names, removed=st.just(True)),
        st.builds(asked.SetMember, name=names, added=st.just(True)),
    ),
    asked.When: st.builds(asked.When, crop=crops, variety=opt(names), risk=opt(percents)),
    asked.HowMany: st.builds(
        asked.HowMany, plants=counts, crop=crops, variety=opt(names), lot=opt(lots),
        assurance=opt(percents), seeds_per_cell=opt(st.integers(1, 50)),
    ),
    asked.MakePlan: st.one_of(
        st.builds(asked.MakePlan, items=st.lists(items, max_size=4).map(tuple)),
        st.builds(asked.MakePlan, accept=ids, drop=st.booleans()),
        st.just(asked.MakePlan(drop=True)),
        st.just(asked.MakePlan(change=True)),
        st.builds(
            asked.MakePlan, items=st.lists(pinned, min_size=1, max_size=3).map(tuple),
            change=st.just(True),
        ),
        st.builds(
            asked.MakePlan,
            without=st.lists(st.tuples(crops, opt(names)), min_size=1, max_size=3).map(tuple),
        ),
    ),
    asked.Season: st.just(asked.Season()),
    asked.Calendar: st.just(asked.Calendar()),
    asked.Sow: sow(),
    asked.Up: st.one_of(
        st.builds(asked.Up, count=counts, more=st.booleans(), **told),
        st.builds(asked.Up, all_up=st.just(True), **told),
    ),
    asked.Watered: st.builds(asked.Watered, from_below=st.booleans(), for_round=opt(days), **told),
    asked.Moist: st.builds(asked.Moist, level=st.sampled_from(asked.Moisture), **told),
    asked.Temp: st.builds(
        asked.Temp, temp_c=st.decimals("-40", "60", places=2).map(float),
        kind=opt(st.sampled_from(asked.TempKind)), **told,
    ),
    asked.Light: light.filter(lambda made: any(v is not None for v in made.values())).flatmap(
        lambda made: st.builds(asked.Light, **{k: st.just(v) for k, v in made.items()}, **told)
    ),
    asked.Thinned: st.builds(asked.Thinned, per_cell=st.integers(1, 50), **told),
    asked.Potted: st.one_of(
        st.builds(
            asked.Potted, count=opt(counts), pot_mm=opt(st.integers(25, 400).map(float)),
            onto_shelf=opt(shelves), **told
        ),
        st.builds(
            asked.Potted, count=opt(counts), into_tray=trays, into_cells=opt(specs), **told
        ),
    ),
    asked.Move: st.one_of(
        st.builds(asked.Move, into_tray=trays, into_cells=opt(specs), **told),
        st.builds(asked.Move, onto_shelf=shelves, **told),
    ),
    asked.Harden: st.builds(asked.Harden, **told),
    asked.Fed: st.builds(asked.Fed, ppm_n=opt(numbers), **told),
    asked.Out: st.builds(
        asked.Out, hours=opt(numbers), overnight=st.booleans(), once=st.booleans(), **told
    ),
    asked.Planted: st.builds(asked.Planted, count=opt(counts), to_whom=opt(names), **told),
    asked.Lost: st.builds(
        asked.Lost, count=opt(counts), cause=opt(names),
        **{**told, "where": wheres().filter(some_where)},
    ),
    asked.Note: st.builds(asked.Note, text=remarks, **told),
    asked.Undo: st.one_of(
        st.builds(asked.Undo, report=opt(st.integers(1, 9999).map(lambda n: f"R{n}"))),
        st.just(asked.Undo(last=True)),
        st.just(asked.Undo(report="R3", also=("R4", "R15"))),
    ),
    asked.Due: st.builds(asked.Due, mine=st.booleans()),
    asked.Trays: st.just(asked.Trays()),
    asked.ShowTray: st.builds(asked.ShowTray, tray=trays),
    asked.Curve: st.builds(asked.Curve, where=wheres()),
    asked.ShowShelf: st.builds(asked.ShowShelf, shelf=opt(shelves), space=st.booleans()),
    asked.Results: st.builds(asked.Results, as_file=st.booleans()),
    asked.Compare: st.builds(
        asked.Compare,
        left=wheres().filter(lambda w: w.crop is not None),
        right=wheres().filter(lambda w: w.crop is not None),
    ),
    asked.CropInfo: st.builds(asked.CropInfo, crop=opt(crops)),
    asked.Ask: st.builds(asked.Ask, text=remarks, where=wheres()),
    asked.Answer: st.builds(
        asked.Answer, dialogue=ids, choice=st.sampled_from(["yes", "no", "2", "not sure"])
    ),
    asked.Wish: st.one_of(
        st.just(asked.Wish()),
        st.builds(asked.Wish, plants=counts, crop=crops, variety=opt(names), for_whom=opt(names)),
    ),
    asked.ShareOut: st.builds(asked.ShareOut, crop=opt(crops)),
    asked.Labels: st.builds(
        asked.Labels, where=wheres(), letter_paper=flag,
        shape=opt(st.sampled_from(["stake", "card", "sheet"])),
        grid=opt(st.sampled_from(["3x10", "2x7"]))
    ),
    asked.Sheet: st.builds(
        asked.Sheet, kind=st.sampled_from(["week", "sowing", "rota", "season"]), letter_paper=flag
    ),
    asked.Tags: st.builds(asked.Tags, crop=opt(crops), letter_paper=flag),
    asked.Me: st.builds(
        asked.Me, reminders=flag, remind_at=opt(times), thanks=flag,
        group=opt(st.integers(-(10**13), 10**13)), **own,
    ),
    asked.Export: st.just(asked.Export()),
    asked.Import: st.builds(asked.Import, dialogue=opt(ids)),
    asked.Nothing: st.just(asked.Nothing()),
    asked.Instead: st.builds(
        asked.Instead,
        report=st.integers(1, 999).map(lambda n: f"R{n}"),
        what=st.builds(asked.Up, where=wheres(), count=counts),
    ),
    asked.Lead: st.builds(
        asked.Lead,
        act=st.sampled_from(["up", "sow", "watered", "tray", "site", "frost", "duty"]),
        where=wheres(),
        part=opt(st.sampled_from(["place", "units", "last", "first", "new"])),
        who=opt(names),
        number=opt(st.integers(1, 20)),
        cells=st.sampled_from([0, 18, 50, 72]),
    ),
    asked.EndGroup: st.builds(asked.EndGroup, sure=st.booleans()),
    asked.ForgetMe: st.builds(asked.ForgetMe, sure=st.booleans()),
    asked.Help: st.builds(asked.Help, topic=opt(st.sampled_from(["sow", "up", "plan"]))),
    asked.Done: st.builds(asked.Done, notice=ids),
    asked.Swap: st.one_of(st.builds(asked.Swap, day=opt(days)), st.builds(asked.Swap, take=ids)),
    asked.Break: st.builds(asked.Break, after=st.booleans()),
}  # fmt: skip


def request_types() -> list[type[asked.Request]]:
    """Return every request type that stands for something said, not a base."""
    return [
        kind
        for kind in vars(asked).values()
        if isinstance(kind, type)
        and issubclass(kind, asked.Request)
        and kind not in (asked.Request, asked.Report)
        and is_dataclass(kind)
    ]
