"""Which frame a clause fills: by its cue, or by the shape of what it names."""

from __future__ import annotations

from bot.reading.clauses import Clause
from bot.reading.clock import hours_between
from bot.reading.scan import Scan

_STILL = ("still", "yet", "todavia", "todavía", "aun", "aún", "sigue", "siguen")
_FIRST = (
    "lost", "thinned", "fed", "potted", "planted", "sow", "watered", "out", "light", "temp",
    "moist", "up",
)  # fmt: skip
"""Where cues of several frames stand in one clause, the first of these is meant."""


def frame_of(scan: Scan, clause: Clause) -> tuple[str, str]:
    """Return the frame and how it was found: `cue`, `weak`, `shape`, or nothing."""
    found = clause.frames()
    if "give" in found:  # a drink, a feed, or the plants themselves
        found.discard("give")
        if not found:
            found |= {key for m in clause.mentions for key in m.keys("weak")} & {"watered", "fed"}
        if not found & {"watered", "fed", "moist"} and (
            clause.of("person", "crop", "variety") or clause.has("link", "to")
        ):
            found.add("planted")
        elif "moist" in found and (clause.has("done", "watered") or _a_soaking(clause)):
            found.discard("moist")
            found.add("watered")
    if "lost" in found and _went_on(scan, clause):
        found.discard("lost")
        found |= {"planted"} if clause.of("person") else {"potted"} & _moved_into(clause)
    seed = clause.has("noun", "seed") or clause.has("noun", "per_cell")
    temps = bool(clause.of("c", "f", "degree"))
    length = bool(clause.of("mm", "cm", "inch"))
    if "sow" not in found and seed and found & {"planted", "put"}:
        return "sow", "cue"
    if clause.of("lux", "ppfd", "fc"):
        return "light", "cue"
    if "light" in found or clause.has("noun", "lamp"):
        lamp = clause.has("noun", "lamp")
        if (length or clause.of("hour")) and (lamp or not found & {"sow", "out", "potted"}):
            return "light", "cue"
    if seed and clause.of("crop", "variety") and not clause.has("kind", "mix"):
        found.discard("moist")  # `the seeds were soaked first`
    stood = clause.has("kind", "outside") and clause.of("crop", "tray", "variety")
    plants = clause.of("crop", "variety") and not (found & {"temp"} and clause.has("done", "temp"))
    out = clause.has("done", "out") or clause.has("weak", "out")
    bare = clause.has("kind", "outside") and out and not (temps or clause.has("done", "temp"))
    figure = (
        clause.of("num")
        and not bare
        and not stood
        and not (plants and not clause.has("kind", "mix"))
    )
    if clause.has("kind") and (temps or figure) and not found & {
        "sow", "lost", "potted", "thinned", "watered", "fed", "planted"
    }:  # fmt: skip
        if not (clause.of("hour") and not clause.of("num")) and not (
            "up" in found and not temps and not clause.has("kind", "mix")
            and not clause.has("kind", "air")
        ):  # fmt: skip
            return "temp", "cue"
    if not temps and not figure:
        found.discard("temp")
    if not temps and not (found & {"temp"} and clause.has("kind") and len(found) == 1):
        found.discard("temp")
    if temps and not found & {"sow", "lost", "potted", "planted", "fed"}:
        if _cells_short(scan, clause):
            return "sow", "guess"
        return "temp", "cue"
    found.discard("temp" if not (temps or clause.of("num")) else "")
    if clause.has("noun", "per_cell") and clause.of("num") and found & {"out", "put"} - {"put"}:
        found.discard("out")  # `took out the weaker ones, two left in each cell`
        found.add("thinned")
    if "out" in found and not (
        clause.of("hour", "minute") or clause.has("how", "overnight") or len(found - {"put"}) == 1
    ):
        found.discard("out")
    if "planted" in found and not clause.of("person") and "out" in found:
        found.discard("out")
    found.discard("light")
    for frame in _FIRST:
        if frame in found:
            return frame, "cue"
    return _shape(scan, clause, found)


def _cells_short(scan: Scan, clause: Clause) -> bool:
    """Whether `24c` stands for cells: beside a crop that does not grow in the tray named."""
    held = set(scan.context.holds)
    crops = [one for m in clause.of("crop") for one in m.value]
    trays = [code for m in clause.of("tray") for code in m.value]
    alien = bool(crops and trays) and not any((t, c) in held for t in trays for c in crops)
    return alien and not clause.has("done", "temp") and not clause.has("kind")


def _went_on(scan: Scan, clause: Clause) -> bool:
    """Whether what is gone has only gone somewhere: `gone home with Jo`, `gone up into pots`."""
    lost = [i for i, m in enumerate(clause.mentions) if m.has("done", "lost")]
    if len(lost) != 1 or clause.has("cause"):
        return False
    m = clause.mentions[lost[0]]
    after = scan.words[m.last + 1 : m.last + 2]
    return any(lexicon.is_on(m.text.lower(), after) for lexicon in scan.order)


def _moved_into(clause: Clause) -> set[str]:
    into = clause.has("noun", "pots") or clause.has("link", "to")
    return {"potted"} if into else set()


_ARTICLES = ("a", "an", "un", "una")


def _a_soaking(clause: Clause) -> bool:
    """Whether what was given is a thing: `a decent soaking` tells of the can, not of the mix."""
    return any(
        m.has("level", "wet")
        and any(one.text.lower() in _ARTICLES for one in clause.mentions[max(0, index - 2) : index])
        for index, m in enumerate(clause.mentions)
    )


def _shape(scan: Scan, clause: Clause, found: set[str]) -> tuple[str, str]:
    weak = {key for m in clause.mentions for key in m.keys("weak")}
    trays = [code for m in clause.of("tray") for code in m.value]
    crops = [one for m in clause.of("crop", "variety") for one in (
        m.value if m.kind == "crop" else (m.value[1],))]  # fmt: skip
    lots = bool(clause.of("lot"))
    if (
        clause.has("noun", "remain")
        and clause.has("noun", "per_cell")
        and (trays or any(crop in scan.context.growing for crop in crops))
    ):  # `pulled the extra kale, one left per cell`
        return "thinned", "cue"
    cells = bool(clause.of("cells")) or clause.has("noun", "cell")
    seed = clause.has("noun", "seed") or clause.has("noun", "per_cell")
    holds = set(scan.context.holds)
    new = bool(trays and (crops or lots)) and not any(
        (tray, crop) in holds for tray in trays for crop in crops
    )
    numbers = clause.of("num")
    if clause.has("cause") and numbers and (crops or trays):
        return "lost", "shape"
    if clause.has("how", "overnight") and (trays or crops) and "out" in weak:
        return "out", "cue"
    into = clause.has("noun", "pots") or _into(clause)
    if (seed and (crops or trays or lots)) or (new and (cells or lots or "put" in found)):
        return "sow", "shape"
    if "put" in found and clause.has("done", "watered"):
        return "watered", "cue"
    if cells and into and trays and not numbers:
        return "potted", "guess"
    if numbers and into and (crops or len(trays) > 1 or clause.has("noun", "pots")):
        return "potted", "shape"
    if new and (clause.of("inch", "cm", "mm") or clause.has("noun", "deep")):
        return "sow", "shape"
    if new and len(trays) == 1 and not any(tray == trays[0] for tray, _ in holds):
        return "sow", "shape"
    if "put" in found and crops and not any(crop in scan.context.growing for crop in crops):
        return "sow", "shape"
    spent = clause.of("hour", "minute") or _between(scan, clause)
    if spent and "out" in weak and (trays or crops):
        return "out", "cue" if _between(scan, clause) else "weak"
    if clause.has("share") and (trays or crops):
        return "fed", "guess"
    growing = [crop for crop in crops if crop in scan.context.growing]
    if numbers or clause.has("total", "none"):
        if growing and (numbers or clause.has("total", "none")):
            return "up", "shape"
        if trays and (weak & {"up"} or any(m.prep == "more" for m in numbers)
                      or clause.has("total", "more")):  # fmt: skip
            return "up", "shape"
        if trays and clause.has("total", "none") and not numbers:
            still = any(m.text.lower() in _STILL for m in clause.mentions)
            return "up", "shape" if still else "guess"
        if trays and len(numbers) == 1:
            return "up", "guess"
    for frame in ("watered", "thinned", "potted", "fed", "planted", "sow"):
        if frame in weak and (trays or crops or clause.of("shelf")):
            return frame, "weak"
    return "", ""


def _between(scan: Scan, clause: Clause) -> bool:
    """Whether hours of a clock are told: `from ten till two`."""
    ms = sorted(clause.mentions, key=lambda m: m.first)
    return bool(ms) and hours_between(scan, ms[0], ms[-1]) is not None


def _into(clause: Clause) -> bool:
    for index, m in enumerate(clause.mentions):
        if m.kind == "tray" and index:
            before = clause.mentions[index - 1]
            if before.text in ("la", "el") and index > 1:
                before = clause.mentions[index - 2]
            many = clause.of("num") and clause.of("crop", "variety")
            if before.has("link", "to") and (before.text != "to" or many):
                return True
    return False
