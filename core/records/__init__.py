"""Everything that is kept: SQLAlchemy models, sessions, migrations, and queries by subject."""
