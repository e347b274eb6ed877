"""Pots have trays, lots have amounts, wishes name varieties; plants in loose pots get a tray.

Revision: 0006; after: 0005
"""

import json
from collections import defaultdict
from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None

POT_MM = 76.2  # 3-inch pots were taken where nobody named a tray
COLUMNS = 6


def upgrade() -> None:
    integer = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
    op.add_column("trays", sa.Column("pot_mm", sa.Double(), nullable=True))
    op.add_column("trays", sa.Column("act_id", integer, nullable=True))
    op.add_column("lots", sa.Column("seeds", integer, nullable=True))
    op.add_column("lots", sa.Column("grams", sa.Double(), nullable=True))
    op.add_column("lots", sa.Column("maturity_days", integer, nullable=True))
    op.add_column("lots", sa.Column("spacing_cm", sa.Double(), nullable=True))
    op.add_column("lots", sa.Column("note", sa.Text(), nullable=True))
    op.add_column("lots", sa.Column("towel", sa.JSON(), nullable=True))
    op.add_column("wishes", sa.Column("variety", sa.Text(), nullable=True))
    _house_loose_pots(op.get_bind())


def _house_loose_pots(connection: sa.Connection) -> None:
    """Give plants potted up into no tray a tray of pots on the shelf they came from."""
    found = connection.execute(
        sa.text(
            'SELECT r.id, r."values" AS told, r.sowing_id, s.group_id, s.number, t.shelf_id '
            "FROM reports r JOIN sowings s ON s.id = r.sowing_id JOIN trays t ON t.id = s.tray_id "
            "WHERE r.kind = 'potted' AND NOT r.undone AND NOT s.void AND s.closed_on IS NULL "
            "ORDER BY r.sowing_id, r.on_day, r.id"
        )
    ).all()
    of_sowing: dict[int, list[Any]] = defaultdict(list)
    for row in found:
        of_sowing[row.sowing_id].append(row)
    for rows in of_sowing.values():
        loose: list[tuple[Any, dict[str, Any]]] = []
        for row in rows:
            values = row.told if isinstance(row.told, dict) else json.loads(row.told)
            if values.get("tray"):
                loose = []  # they stand in that tray since
            else:
                loose.append((row, values))
        if loose:
            _house(connection, loose)


def _house(connection: sa.Connection, loose: list[tuple[Any, dict[str, Any]]]) -> None:
    first = loose[0][0]
    pots = sum(int(values.get("count") or 0) for _, values in loose)
    if pots == 0:
        return
    taken = set(
        connection.scalars(
            sa.text("SELECT code FROM trays WHERE group_id = :g"), {"g": first.group_id}
        )
    )
    number = next(n for n in range(1, 10_000) if f"T{n}" not in taken)
    cols = COLUMNS if pots <= 26 * COLUMNS else min(40, -(-pots // 26))
    rows = min(26, -(-pots // cols))
    connection.execute(
        sa.text(
            "INSERT INTO trays (group_id, code, rows, cols, shelf_id, pot_mm) "
            "VALUES (:g, :code, :rows, :cols, :shelf, :mm)"
        ),
        {"g": first.group_id, "code": f"T{number}", "rows": rows, "cols": cols,
         "shelf": first.shelf_id, "mm": POT_MM},
    )  # fmt: skip
    labels = [f"{chr(ord('A') + row)}{col + 1}" for row in range(rows) for col in range(cols)]
    reports = sa.table("reports", sa.column("id"), sa.column("values", sa.JSON()))
    for row, values in loose:
        here, labels = (
            labels[: int(values.get("count") or 0)],
            labels[int(values.get("count") or 0) :],
        )
        values = {**values, "tray": f"T{number}", "cells": " ".join(here)}
        connection.execute(sa.update(reports).where(reports.c.id == row.id).values(values=values))
