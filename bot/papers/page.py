"""One laid-out page of paper."""

from __future__ import annotations

from dataclasses import dataclass

from bot.pictures.model import Piece, Text


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """One page, its pieces in the order they are painted."""

    width: float
    height: float
    pieces: tuple[Piece, ...]

    def texts(self) -> list[Text]:
        """Return the words in painting order, which is reading order."""
        return [piece for piece in self.pieces if isinstance(piece, Text)]
