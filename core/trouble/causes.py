"""The table of causes: what makes each likely, and what to check, do and avoid.

Rows live in `core/data/causes.toml` and are read when the first question is asked.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

from core.trade.cautions import CAUTIONS, Trigger
from core.trade.stage import TrayStage
from core.trade.tables.registry import (
    Complaint,
    Problem,
    TablesBroken,
    ident,
    number,
    plain,
    ref,
    register,
    text,
)
from core.trouble.findings import names_known


class CauseBasis(StrEnum):
    """What the advice of a cause rests on."""

    PUBLISHED = "published"
    SYNTHESIS = "synthesis"  # set between published figures
    COMMON_PRACTICE = "common_practice"
    FROM_MEMORY = "from_memory"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """One cause of trouble.

    Attributes:
        id: unique; also what a saved answer refers to.
        prior: how common it is beside the others; dimensionless, > 0; an estimate.
        stages: stages in which it is met; empty for any.
        spreads: it goes from plant to plant, so that neighbours are to be looked at.
        danger: people may come to harm: it is said before any other cause.
        cues: findings that stand together, and how many times likelier they make this cause.
        cause, check, remedy, prevent, caution: English texts; caution may be "".
        cautions: ids of `core/data/cautions.toml` that belong beside this advice.
        advises: what the remedy amounts to, for the check that no first answer can harm.
        basis, sources: what the advice rests on; keys of `core/data/sources.toml`.
        fires, fires_es, silent: a question that names it first, and one that does not name it.
    """

    id: str = ident()
    prior: float = number(lo=0.01, hi=20)
    stages: tuple[TrayStage, ...] = plain(default=())
    spreads: bool = plain(default=False)
    danger: bool = plain(default=False)
    cues: Mapping[str, float] = plain()
    cause: str = plain()
    check: str = plain()
    remedy: str = plain()
    prevent: str = plain()
    caution: str = plain(default="")
    cautions: tuple[str, ...] = ref("caution", default=())
    advises: tuple[str, ...] = text(pattern=r"[a-z_]+", default=())
    basis: CauseBasis = plain()  # noqa: RUF009
    sources: tuple[str, ...] = text()
    fires: str = plain()
    fires_es: str = plain(default="")
    silent: str = plain()


@dataclass(frozen=True, slots=True)
class Cue:
    """Findings that stand together, and the logarithm of their likelihood ratio."""

    names: frozenset[str]
    weight: float


def _check(rows: tuple[Cause, ...]) -> Iterator[Complaint]:
    known = names_known()
    for row in rows:
        for cue, ratio in row.cues.items():
            if known is not None and (unknown := set(cue.split()) - known):
                yield Complaint(row=row.id, field="cues", values={"unknown": sorted(unknown)})
            if isinstance(ratio, bool) or not isinstance(ratio, int | float) or ratio <= 0:
                values = {"given": ratio, "lo": 0, "hi": 1000}
                yield Complaint(
                    row=row.id, field="cues", problem=Problem.OUT_OF_RANGE, values=values
                )
    yield from _misplaced_cautions(rows)


def _misplaced_cautions(rows: tuple[Cause, ...]) -> Iterator[Complaint]:
    try:
        for_advice = {row.id for row in CAUTIONS.rows() if Trigger.ADVICE in row.triggers}
    except TablesBroken:
        return  # reported under its own name
    for row in rows:
        if misplaced := set(row.cautions) - for_advice:
            yield Complaint(row=row.id, field="cautions", values={"given": sorted(misplaced)})


CAUSES = register("cause", Cause, check=_check)


@functools.cache
def cues_of(cause_id: str) -> tuple[Cue, ...]:
    """Return a cause's cues, the weightiest first."""
    row = CAUSES.by_id()[cause_id]
    made = [Cue(frozenset(cue.split()), math.log(ratio)) for cue, ratio in row.cues.items()]
    return tuple(sorted(made, key=lambda cue: (-abs(cue.weight), sorted(cue.names))))
