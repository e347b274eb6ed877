"""Safety cautions: what to say, and the moments it belongs to.

The bot gives the usual caution and points to the label, the local code or a licensed person;
it never certifies anything as safe.
"""

from __future__ import annotations

import functools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from core.trade.tables.registry import Complaint, Problem, ident, plain, register


class Trigger(StrEnum):
    """Moments at which a caution is due."""

    SHELF_LAMP_SET_UP = "shelf_lamp_set_up"
    HEAT_MAT_SET_UP = "heat_mat_set_up"
    LOT_TREATED = "lot_treated"
    SOW_TREATED = "sow_treated"
    TRAY_CLEANING = "tray_cleaning"
    MIX_BAG_OPENED = "mix_bag_opened"
    SOWING_SESSION = "sowing_session"
    POTTING_UP = "potting_up"
    COMPOST_USED = "compost_used"
    MEMBER_CHILD_ADDED = "member_child_added"
    CHILD_NAMED = "child_named"
    HEATER_REPORTED = "heater_reported"
    ADVICE = "advice"  # beside advice of a rule that names the caution
    # a crop with that hazard is looked up or sown
    CROP_TOXIC_SEED = "crop_toxic_seed"
    CROP_TOXIC_PLANT = "crop_toxic_plant"
    CROP_TOXIC_FOLIAGE = "crop_toxic_foliage"
    CROP_TOXIC_FRUIT = "crop_toxic_fruit"
    CROP_NOT_WITH_CHILDREN = "crop_not_with_children"
    CROP_LOOKS_EDIBLE = "crop_looks_edible"
    CROP_SKIN_IRRITANT = "crop_skin_irritant"
    CROP_SAP_BURNS_IN_SUN = "crop_sap_burns_in_sun"
    CROP_EYE_IRRITANT = "crop_eye_irritant"
    CROP_CAPSAICIN = "crop_capsaicin"
    CROP_THORNS = "crop_thorns"
    CROP_ALLERGEN = "crop_allergen"
    CROP_RAW_BEANS = "crop_raw_beans"
    CROP_FAVISM = "crop_favism"
    CROP_TREATED_SEED_COMMON = "crop_treated_seed_common"


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


def crop_cautions(hazards: Iterable[str]) -> tuple[Caution, ...]:
    """Return the cautions due with a crop of these hazards, each once, in table order.

    `hazards` are the codes of the crop table. Raises ValueError for one without a trigger.
    """
    triggers = {Trigger(f"crop_{hazard}") for hazard in hazards}
    return tuple(row for row in CAUTIONS.rows() if triggers.intersection(row.triggers))
