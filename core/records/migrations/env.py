"""Run the revisions on the connection handed in by core/records/schema.py.

On SQLite a batch rebuild drops and copies a table, which would delete child rows through ON
DELETE or trip foreign keys: they are off during the run and checked after it.
"""

from typing import Any, Literal

from alembic import context

from core.records.models import Base, Instant


def render_item(type_: str, obj: Any, autogen_context: Any) -> str | Literal[False]:
    if type_ == "type" and isinstance(obj, Instant):
        return "sa.DateTime(timezone=True)"
    return False


connection = context.config.attributes["connection"]
context.configure(
    connection=connection,
    target_metadata=Base.metadata,
    render_as_batch=connection.dialect.name == "sqlite",
    render_item=render_item,
    compare_type=False,
    compare_server_default=False,
)
with context.begin_transaction():
    context.run_migrations()
