"""When a sowing should show, as replies and pictures say it."""

from __future__ import annotations

from datetime import date

from core.group import outlook
from core.group.garden import Garden, SowingOf
from core.replies.reports import WindowSaid
from core.trade.emergence.forecast import Forecast
from core.trade.emergence.reconciled import days_basis


def window(forecast: Forecast, temp_basis: str) -> WindowSaid:
    """Return a forecast as replies carry it."""
    basis = forecast.basis
    kind = "site" if basis.kind == "table" and basis.site.sowings else basis.kind.value
    if kind == "table":
        kind = days_basis(basis.source)
    return WindowSaid(
        p10=forecast.p10_on,
        p50=forecast.p50_on,
        p90=forecast.p90_on,
        basis=kind,
        temp_c=basis.ahead_temp_c,
        temp_basis="logged" if basis.days_logged else temp_basis,
        flags=tuple(sorted(flag.value for flag in forecast.flags)),
    )


def said_window(garden: Garden, sowing: SowingOf, today: date) -> WindowSaid:
    """Return a sowing's window as replies carry it."""
    return window(
        outlook.emergence(garden, sowing, today), outlook.usual_temp(garden, sowing.tray)[1]
    )
