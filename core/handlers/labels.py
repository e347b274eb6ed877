"""A sheet of labels for trays and rows."""

from __future__ import annotations

from sqlalchemy.orm import Session

from core.errors import NoSuchSowing
from core.group.garden import Garden
from core.group.labels import labels
from core.group.paper import paper_of
from core.group.standing import standing
from core.handlers.aim import sowings_meant, trays_meant
from core.records import snapshot
from core.records.chats import platforms_of
from core.replies.base import Reply
from core.replies.labels import LabelsReady
from core.requests import Labels, Where
from core.scene import Scene
from core.trade.label_grids import Paper, grid_for


def sheet(request: Labels, scene: Scene, session: Session) -> Reply:
    """Return which labels there will be; raise LabelGridUnknown and what `labels` raises."""
    assert scene.group_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    paper = None
    if request.letter_paper is not None:
        paper = Paper.LETTER if request.letter_paper else Paper.A4
    grid = grid_for(paper, request.grid, paper_of(garden.site), request.shape)
    tray_codes, sowing_codes = meant(garden, request.where)
    made = labels(garden, tray_codes, sowing_codes)
    if grid.shape == "stake":
        made = tuple(label for label in made if label.size is None)
        if not made:
            raise NoSuchSowing()
    trays = sum(1 for label in made if label.size is not None)
    return LabelsReady(
        group_id=scene.group_id,
        where=request.where,
        shape=request.shape,
        tray_codes=tray_codes,
        sowing_codes=sowing_codes,
        trays=trays,
        rows=len(made) - trays,
        grid=grid.id,
        typed=None if grid.cut else grid.typed,
        paper=grid.paper.value,
        pages=-(-(trays if grid.shape == "card" else len(made)) // grid.count) or 1,
        platforms=platforms_of(session, scene.group_id),
    )


def meant(garden: Garden, where: Where) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return (trays, sowings) to label: sowings alone where one, a crop, lot or cells is named.

    Everything takes in the plants in pots without a tray. Raises TrayUnknown, ShelfUnknown,
    NoTraysYet, SowingUnknown, CellOutside, NoSuchSowing.
    """
    if where.crop or where.sowing or where.lot or where.cells:
        return (), tuple(sowing.code for sowing, _ in sowings_meant(garden, where))
    trays = trays_meant(garden, where)
    if where.empty or where.everything:
        return trays, tuple(s.code for s, g in standing(garden) if g.tray is None)
    return trays, ()
