"""A stored plan read back as a reply."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from core.group.garden import SowingOf
from core.plan.body import fullest_weeks
from core.records import models as m
from core.replies.plans import DirectPlanned, PlanSaid, SowingPlanned
from core.scene import Scene

DATES = (
    "sow_on", "latest", "pot_on", "harden_from", "plant_out", "usual_first", "usual_last",
)  # fmt: skip
"""Of an entry, what is a date."""


def sown_items(every: Sequence[SowingOf]) -> dict[str, str]:
    """Return the sowing that fulfilled each entry of any plan, finished ones too."""
    return {sowing.plan_item: sowing.code for sowing in every if sowing.plan_item}


def plan_said(
    row: m.Plan, state: str, scene: Scene, every: Sequence[SowingOf], *, replaces: bool
) -> PlanSaid:
    """Return a plan as replies carry it, with what of it is sown."""
    body = row.body
    sown = sown_items(every)
    return PlanSaid(
        group_id=row.group_id,
        plan=row.id,
        state=state,
        may_accept=scene.coordinator,
        replaces=replaces,
        sowings=tuple(sowing_planned(entry, sown) for entry in body.get("sowings", ())),
        direct=direct_of(body),
        late=tuple(
            (entry["crop"], entry["variety"], date.fromisoformat(entry["latest"]))
            for entry in body.get("late", ())
        ),
        fullest=fullest_weeks(body),
        notes=body.get("notes", {}),
    )


def sowing_planned(entry: Mapping[str, Any], sown: Mapping[str, str]) -> SowingPlanned:
    """Return one entry of a plan, with the sowing that fulfilled it."""
    values = {name: entry.get(name) for name in SowingPlanned.__dataclass_fields__}
    values["pinned"] = bool(entry.get("pinned"))
    for name in DATES:
        values[name] = date.fromisoformat(entry[name]) if entry.get(name) else None
    if not entry.get("frost_limits", True):
        values["frost_chance"] = None
    return SowingPlanned(**{**values, "sown": sown.get(entry["id"])})  # type: ignore[arg-type]


def direct_of(body: Mapping[str, Any]) -> tuple[DirectPlanned, ...]:
    """Return the crops of a plan that are sown outdoors."""
    return tuple(
        DirectPlanned(
            crop=entry["crop"],
            variety=entry["variety"],
            plants=entry["plants"],
            earliest=date.fromisoformat(entry["earliest"]),
            sow_on=date.fromisoformat(entry["sow_on"]),
            latest=date.fromisoformat(entry["latest"]),
            frost_chance=entry["frost_chance"] if entry["frost_limits"] else None,
            soil_c=entry.get("soil_c"),
        )
        for entry in body.get("direct", ())
    )
