"""Which request a file that somebody sends stands for: by its caption, else by its kind."""

from __future__ import annotations

from dataclasses import dataclass

from bot.grammar.context import GrammarContext
from bot.grammar.find_command import find_command
from bot.grammar.parse import without_mention
from bot.grammar.set_up import take_units
from bot.grammar.spanish import as_english
from bot.grammar.text import Bag, clean
from bot.incoming import Incoming
from core import requests as r
from core.errors import UserError

MOST_BYTES = 5_000_000
MOST_SOWINGS = 20  # of one crop, as when typed
MOST_ROWS = 300  # of a list for a plan
MOST_UNCLEAR = 12  # names told
CLOSED, FROST, PLAN, IMPORT = "closed", "frost", "plan", "import"
_OF_COMMAND = {
    "closed": CLOSED, "calendar": CLOSED, "frost": FROST, "plan": PLAN, "import": IMPORT,
}  # fmt: skip


@dataclass(eq=False, kw_only=True)
class FileUnclear(UserError):
    """A file nobody said the purpose of; reason: `purpose`, `size` or `text`."""

    name: str
    reason: str


@dataclass(eq=False, kw_only=True)
class PlanFileUnclear(UserError):
    """A list for a plan with rows whose crop is not clear; `names` empty = no row at all.

    `rows`: more rows than a plan may have.
    """

    names: tuple[str, ...]
    rows: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Purpose:
    """What a file is for: `kind` CLOSED, FROST, PLAN or IMPORT; "" = its words decide, if they can.

    `other`: its caption is another command, to be read as if it had been typed.
    """

    name: str
    kind: str = ""
    fahrenheit: bool | None = None
    other: bool = False

    def shape(self) -> r.Request | None:
        """Return a request of the kind, to ask whether one may make it."""
        match self.kind:
            case "closed":
                return r.SetClosed(file_name=self.name, file_text="")
            case "frost":
                return r.SetFrost(file_name=self.name, file_text="")
            case "plan":
                return r.MakePlan(items=(r.PlanItem(crop="tomato", plants=1),))
            case "import":
                return r.Import(file_name=self.name)
            case _:
                return None


def purpose(incoming: Incoming, context: GrammarContext) -> Purpose | UserError:
    """Return what a file is for as far as its caption and name say, or why it is not read."""
    name = incoming.file_name or "file"
    line = without_mention(clean(incoming.text).partition("\n")[0], context)
    found = find_command(as_english(line, context)) if line else None
    if found is not None and found.command.word not in _OF_COMMAND:
        return Purpose(name=name, other=True)
    if (incoming.file_size or 0) > MOST_BYTES:
        return FileUnclear(name=name, reason="size")
    if found is not None:
        try:
            fahrenheit, _ = take_units(Bag(found.args, context, found.command.word))
        except UserError as error:
            return error
        return Purpose(name=name, kind=_OF_COMMAND[found.command.word], fahrenheit=fahrenheit)
    if line:
        return FileUnclear(name=name, reason="purpose")
    by_ending = {".ics": CLOSED, ".zip": IMPORT}
    return Purpose(name=name, kind=by_ending.get(name[-4:].lower(), ""))


def looks_daily(text: str) -> bool:
    """Whether a text looks like a table of daily minima."""
    head = text[:2000].lower()
    return "min" in head and text.count("\n") > 100


def plan_items(text: str) -> tuple[r.PlanItem, ...]:
    """Read a plan's list from CSV: crop, plants and, if wanted, sowings and variety.

    A row without a number is a heading, one without a word a remark: both are passed over.
    Raises PlanFileUnclear naming the crops that are unknown or may mean several, and for a
    file without any row or with too many.
    """
    import contextlib
    import csv
    import io

    from core.trade.crops.table import find_crop

    lines = sum(1 for line in text.splitlines() if line.strip())
    if lines > MOST_ROWS:
        raise PlanFileUnclear(names=(), rows=lines)
    found: list[r.PlanItem] = []
    unclear: list[str] = []
    dialect: type[csv.Dialect] | csv.Dialect = csv.excel
    with contextlib.suppress(csv.Error):
        dialect = csv.Sniffer().sniff(text[:2000], delimiters=",;\t")
    for row in csv.reader(io.StringIO(text.lstrip("\ufeff")), dialect):
        cells = [cell.strip()[:80] for cell in row[:20] if cell.strip()]
        numbers = [int(cell) for cell in cells if cell.isdecimal() and len(cell) <= 9]
        names = [cell for cell in cells if not cell.isdecimal()]
        if not numbers or not names:
            continue
        match = find_crop(names[0])
        if match.crop is None:
            unclear.append(names[0])
            continue
        sowings = numbers[1] if len(numbers) > 1 else 1
        found.append(
            r.PlanItem(
                crop=match.crop.id,
                plants=max(1, numbers[0]),
                sowings=max(1, min(sowings, numbers[0], MOST_SOWINGS)),
                variety=names[1] if len(names) > 1 else None,
            )
        )
    if unclear or not found:
        raise PlanFileUnclear(names=tuple(unclear[:MOST_UNCLEAR]))
    return tuple(found)
