"""Records read back from an export, or taken from a plain table once they were shown."""

from __future__ import annotations

from dataclasses import replace

from sqlalchemy.orm import Session

from core.apart import apart
from core.group.records_file import RecordsUnreadable, read_records
from core.group.spreadsheet import SheetRow, read_sheet
from core.handlers.rights import coordinators_only
from core.records import models as m
from core.records import snapshot
from core.records.tables_in import is_empty, write_tables
from core.replies.base import Reply
from core.replies.importing import Imported, ImportHow, ImportShown, RowsTaken
from core.replies.reports import Sown
from core.requests import Import, Sow, Up, Where
from core.scene import Scene
from core.trade.frost.headers import decode

ASKED = "import"


def import_file(request: Import, scene: Scene, session: Session) -> Reply:
    """Read an export into an empty group, or show a table of sowings and then write it.

    Raises CoordinatorsOnly, RecordsUnreadable, and for a row of a table what
    recording it by word would raise.
    """
    assert scene.group_id is not None
    coordinators_only(scene, session)
    if request.dialogue is not None:
        return _take(request.dialogue, scene, session)
    if request.data is None:
        return ImportHow(empty=is_empty(session, scene.group_id))
    name = request.file_name or "file"
    if request.data[:2] != b"PK":
        return _show(request.data, name, scene, session)
    tables = apart(scene, read_records, request.data, name)
    if not is_empty(session, scene.group_id):
        raise RecordsUnreadable(name=name, reason="not_empty")
    counts = write_tables(session, scene.group_id, tables, name)
    return Imported(name=name, counts=tuple((t, n) for t, n in counts.items() if n))


def _show(data: bytes, name: str, scene: Scene, session: Session) -> Reply:
    assert scene.group_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    read = apart(scene, read_sheet, decode(data), name, scene.today, frozenset(garden.trays))
    row = m.Dialogue(
        chat_id=scene.chat_id,
        person_id=scene.person_id,
        group_id=scene.group_id,
        kind=ASKED,
        state={"rows": [one.values() for one in read.rows], "name": name},
        asked_at=scene.now,
        ended_at=None,
    )
    if read.rows:
        session.add(row)
        session.flush()
    return ImportShown(
        name=name, dialogue=row.id if read.rows else None, rows=read.rows, unclear=read.unclear
    )


def _take(dialogue: int, scene: Scene, session: Session) -> Reply:
    row = session.get(m.Dialogue, dialogue)
    if (
        row is None
        or row.kind != ASKED
        or row.ended_at is not None
        or (row.person_id, row.group_id) != (scene.person_id, scene.group_id)
    ):
        raise RecordsUnreadable(name="", reason="gone")
    from core.handlers.counts import up
    from core.handlers.sowing import sow

    counted = 0
    rows = [SheetRow.of(values) for values in row.state["rows"]]
    for one in sorted(rows, key=lambda each: each.sown_on):
        where = Where(trays=(one.tray,))
        sown = sow(
            Sow(
                where=where, crop=one.crop, variety=one.variety, cell_count=one.cells,
                seeds_per_cell=one.seeds_per_cell, on=one.sown_on, again=True,
            ),
            scene,
            session,
        )  # fmt: skip
        if not isinstance(sown, Sown):
            raise RecordsUnreadable(
                name=str(row.state["name"]), reason="damaged", where=str(one.row)
            )
        if one.up is not None:
            up(
                Up(where=replace(Where(), sowing=sown.sowing), count=one.up, on=one.counted_on),
                scene,
                session,
            )
            counted += 1
    row.ended_at, row.state = scene.now, {}
    return RowsTaken(sowings=len(rows), counted=counted)
