"""Alembic's environment and the revisions, oldest first."""
