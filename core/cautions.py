"""Safety cautions: what to say, and the moments it belongs to.

The bot gives the usual caution and points to the label, the local code or a licensed person;
it never certifies anything as safe.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from core.tables import Complaint, Problem, ident, plain, register


class Trigger(StrEnum):
    """Moments at which a caution is due."""

    SHELF_LAMP_SET_UP = "shelf_lamp_set_up"
    HEAT_MAT_SET_UP = "heat_mat_set_up"
    LOT_TREATED = "lot_treated"
    LOT_ADDED_COLOURED = "lot_added_coloured"
    SOW_TREATED = "sow_treated"
    CROP_TOXIC_SEED = "crop_toxic_seed"
    CROP_TOXIC_PLANT = "crop_toxic_plant"
    CROP_SKIN_IRRITANT = "crop_skin_irritant"
    TRAY_CLEANING = "tray_cleaning"
    MIX_BAG_OPENED = "mix_bag_opened"
    SOWING_SESSION = "sowing_session"
    POTTING_UP = "potting_up"
    PERLITE_USED = "perlite_used"
    COMPOST_USED = "compost_used"
    MEMBER_CHILD_ADDED = "member_child_added"
    CHILD_NAMED = "child_named"
    HEATER_REPORTED = "heater_reported"
    ADVICE_UNPLUG = "advice_unplug"
    ADVICE_BLEACH = "advice_bleach"
    ADVICE_STIR_MOULD = "advice_stir_mould"
    ADVICE_PESTICIDE = "advice_pesticide"
    ADVICE_SOAP_SPRAY = "advice_soap_spray"
    ADVICE_BTI = "advice_bti"
    ADVICE_BAIT = "advice_bait"
    ADVICE_HEATER = "advice_heater"
    ADVICE_MOUSE = "advice_mouse"


class DefersTo(StrEnum):
    """Who has the last word."""

    LABEL = "label"
    ELECTRICIAN = "electrician"
    DOCTOR = "doctor"
    POISON_CENTRE = "poison_centre"
    SCHOOL = "school"
    HEALTH_DEPARTMENT = "health_department"


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """One caution.

    Attributes:
        id: topic.
        triggers: moments it belongs to.
        text: what to mind, English.
        defers: whose word comes first, English.
        defers_to: the same as a code.
        sources: keys of `core/data/sources.toml`.
    """

    id: str = ident()
    triggers: tuple[Trigger, ...] = plain()
    text: str = plain()
    defers: str = plain()
    defers_to: DefersTo = plain()  # noqa: RUF009
    sources: tuple[str, ...] = plain()


def _check_cautions(rows: tuple[Caution, ...]) -> Iterator[Complaint]:
    for row in rows:
        for field, value in (("triggers", row.triggers), ("text", row.text.strip())):
            if not value:
                yield Complaint(row=row.id, field=field, problem=Problem.MISSING_KEY)
        if not row.defers.strip():
            yield Complaint(row=row.id, field="defers", problem=Problem.MISSING_KEY)


CAUTIONS = register("caution", Caution, check=_check_cautions)


@functools.cache
def cautions_for(trigger: Trigger) -> tuple[Caution, ...]:
    """Return the cautions due at one moment, in table order."""
    return tuple(row for row in CAUTIONS.rows() if trigger in row.triggers)
