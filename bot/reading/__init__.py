"""What people write → requests: mentions, clauses, frames, and what may be done with them."""

from bot.reading.read import read

__all__ = ["read"]
