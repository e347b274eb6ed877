"""The records of a group, or of one member, as a ZIP of CSV files."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from sqlalchemy.orm import Session

from bot.wording.drawn.export_readme import readme
from bot.wording.voice import Voice
from core.records.export import export_files

BOM = "\ufeff"
"""Leads a CSV file so that spreadsheets read it as UTF-8."""


def export_zip(session: Session, values: Mapping[str, Any], now: datetime) -> bytes:
    """Return the ZIP for `values` of `group_id` and `member_id` (None = the whole group).

    The same records at the same instant give the same bytes.
    """
    files = export_files(session, int(values["group_id"]), values.get("member_id"))
    voice = Voice(today=now.date(), language=str(values.get("language", "en")))
    files = {"README.txt": readme(voice), **files}
    moment = (now.year, now.month, now.day, now.hour, now.minute, now.second)
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in files.items():
            info = zipfile.ZipInfo(name, date_time=moment)
            info.compress_type = zipfile.ZIP_DEFLATED
            info.external_attr = 0o644 << 16
            body = BOM + text if name.endswith(".csv") else text
            archive.writestr(info, body.encode("utf-8"))
    return out.getvalue()
