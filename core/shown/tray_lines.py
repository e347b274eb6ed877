"""One tray and one sowing as lists and pictures show them."""

from __future__ import annotations

from datetime import date

from core.cells import cells_text
from core.group import outlook
from core.group.garden import Garden, SowingOf, TrayOf
from core.group.growing import Growing
from core.group.standing import free_cells, standing
from core.replies.looks import SowingLine, TrayLine
from core.shown.windows import said_window


def tray_line(garden: Garden, tray: TrayOf, today: date) -> TrayLine:
    """Return one tray with what lives in it."""
    return TrayLine(
        tray=tray.code,
        shelf=tray.shelf,
        rows=tray.rows,
        cols=tray.cols,
        free=len(free_cells(garden, tray)),
        sowings=tuple(
            sowing_line(garden, sowing, growing, today)
            for sowing, growing in standing(garden)
            if growing.tray == tray.code
        ),
        check_on=outlook.tray_check_on(garden, tray.code, today),
    )


def sowing_line(garden: Garden, sowing: SowingOf, growing: Growing, today: date) -> SowingLine:
    """Return one sowing as lists show it."""
    return SowingLine(
        sowing=sowing.code,
        crop=sowing.crop,
        variety=sowing.variety,
        cells=cells_text(growing.cells),
        sown_on=sowing.sown_on,
        stage=growing.stage.value,
        up=growing.up,
        alive=growing.alive,
        seeds=sowing.seeds,
        window=said_window(garden, sowing, today) if growing.first_up_on is None else None,
        lot=sowing.lot,
        plant_out=outlook.out_about(garden, sowing, growing, today),
    )
