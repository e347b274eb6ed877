"""Statements made once: to build one costs several times what it takes to run it.

They are of tables, not of mapped classes, and give plain rows; nothing is kept in the session.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import Executable, Row, Table
from sqlalchemy.orm import Session

from core.records import models as m


def table(model: type[m.Base]) -> Table:
    """Return the table of a model, whose columns are `.c`."""
    found = model.__table__
    assert isinstance(found, Table)
    return found


def rows(session: Session, statement: Executable, /, **values: Any) -> Sequence[Row[Any]]:
    """Return the rows of a prepared statement, with what the session has changed so far."""
    session.flush()  # a statement of tables does not do so by itself
    return session.connection().execute(statement, values).all()
