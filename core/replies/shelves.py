"""Shelves and trays set up."""

from __future__ import annotations

from dataclasses import dataclass

from core.group.garden import ShelfOf
from core.replies.base import Reply


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfSaid(Reply):
    """One shelf as it stands.

    Attributes:
        new: it was made just now.
        trays: codes of the trays on it.
        hours: lamp hours a day by its timer's times; None = not known.
        missing: what would help: `lamp`, `height`, `hours`, `temp`.
        cautions: ids of core/data/cautions.toml.
    """

    shelf: ShelfOf
    new: bool
    trays: tuple[str, ...] = ()
    hours: float | None = None
    missing: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelvesListed(Reply):
    """All shelves with the codes of the trays on each; `loose` stand on none."""

    shelves: tuple[tuple[ShelfOf, tuple[str, ...]], ...]
    loose: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TraysSaid(Reply):
    """Trays added, changed or retired.

    Attributes:
        added, changed, retired: codes.
        rows, cols: the size they have now, where they share one; else 0.
        shelf: code of the shelf they were put on.
        new_shelf: that shelf was made on the way.
        example: a free code to try a first sowing in.
    """

    added: tuple[str, ...] = ()
    changed: tuple[str, ...] = ()
    retired: tuple[str, ...] = ()
    rows: int = 0
    cols: int = 0
    shelf: str | None = None
    example: str | None = None
