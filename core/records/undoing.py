"""What a request wrote before it failed is undone, and nothing else of the transaction.

A savepoint does that. It costs as much as several statements, for every request, and is hardly
ever used: requests are checked before they write. Where a whole transaction can be done over, it
is therefore done without (`whole`), and done over with savepoints if one was needed after all.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.orm import Session

from core.errors import UserError

_WHOLE = "whole"


class NeedsUndoing(Exception):
    """A request failed after it had written: the transaction is to be done over."""


def whole(session: Session) -> None:
    """From here on the transaction is done over when something must be undone.

    Whoever says so catches NeedsUndoing outside of the transaction. Only SQLite counts what is
    written; elsewhere nothing changes.
    """
    session.info[_WHOLE] = session.get_bind().dialect.name == "sqlite"


@contextmanager
def undone_on_mistake(session: Session) -> Iterator[None]:
    """Let a UserError through with nothing left of what was written here."""
    if not session.info.get(_WHOLE):
        with session.begin_nested():
            yield
        return
    session.flush()
    before = _written(session)
    try:
        yield
    except UserError as error:
        changed = session.new or session.dirty or session.deleted
        if changed or _written(session) != before:
            raise NeedsUndoing from error
        raise


def _written(session: Session) -> int:
    """Return how many rows the connection has written, ever."""
    connection = session.connection().connection.driver_connection
    assert connection is not None
    return int(connection.total_changes)
