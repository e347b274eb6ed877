"""Nothing is kept that nobody gave a reason for."""

from __future__ import annotations

import tomllib
from collections import Counter
from pathlib import Path

from core.records import models as m

KEPT = tomllib.loads((Path(m.__file__).parent / "kept.toml").read_text(encoding="utf-8"))["kept"]


def test_every_column_has_a_reason_and_a_term_once() -> None:
    said = Counter((kept["table"], column) for kept in KEPT for column in kept["columns"])
    tables = m.Base.metadata.sorted_tables
    assert set(said) == {(table.name, column.name) for table in tables for column in table.columns}
    assert set(said.values()) == {1}
    assert all(kept["why"] and kept["long"] for kept in KEPT)


def test_what_names_a_person_says_what_becomes_of_it() -> None:
    personal = ("person_id", "member_id", "name", "username", "platform_user", "for_name", "body")
    silent = {
        (kept["table"], column)
        for kept in KEPT
        if not kept["forgotten"]
        for column in kept["columns"]
        if column in personal
    }
    assert silent == {("groups", "name"), ("plans", "body"), ("marks", "name"), ("leases", "name")}
