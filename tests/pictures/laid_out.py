"""What must hold of every page and picture before it is painted."""

from __future__ import annotations

from collections.abc import Sequence

from bot.pictures.model import Box, Code, Drawing, Mark, Path, Text

SLACK = 0.6


def faults(page: object) -> list[str]:
    """Return what is wrong with a page or drawing: words over words, anything off the paper.

    `page` has `width`, `height` and `pieces`, in points.
    """
    width, height, pieces = page.width, page.height, page.pieces  # type: ignore[attr-defined]
    found = []
    texts = [piece for piece in pieces if isinstance(piece, Text) and piece.text.strip()]
    solid = [piece for piece in pieces if isinstance(piece, Code)]
    for number, text in enumerate(texts):
        found += [
            f"{text.text!r} over {other.text!r}"
            for other in texts[number + 1 :]
            if text.overlaps(other, SLACK)
        ]
        found += [
            f"{text.text!r} over a code"
            for code in solid
            if _meets((text.x, text.y, text.w, text.h), (code.x, code.y, code.side, code.side))
        ]
    for piece in pieces:
        left, top, right, bottom = _bounds(piece)
        if left < -SLACK or top < -SLACK or right > width + SLACK or bottom > height + SLACK:
            found.append(f"off the page: {piece}")
    return found


def cut(page: Drawing | object) -> list[str]:
    """Return the words that were shortened."""
    pieces = page.pieces  # type: ignore[attr-defined]
    return [p.text for p in pieces if isinstance(p, Text) and p.text.endswith("…")]


def words(pages: Sequence[object]) -> str:
    """Return all the words of some pages in reading order."""
    return "\n".join(
        piece.text
        for page in pages
        for piece in page.pieces  # type: ignore[attr-defined]
        if isinstance(piece, Text)
    )


def _meets(
    one: tuple[float, float, float, float], other: tuple[float, float, float, float]
) -> bool:
    across = min(one[0] + one[2], other[0] + other[2]) - max(one[0], other[0])
    down = min(one[1] + one[3], other[1] + other[3]) - max(one[1], other[1])
    return across > SLACK and down > SLACK


def _bounds(piece: object) -> tuple[float, float, float, float]:
    match piece:
        case Text() | Box():
            return piece.x, piece.y, piece.x + piece.w, piece.y + piece.h
        case Code():
            return piece.x, piece.y, piece.x + piece.side, piece.y + piece.side
        case Mark():
            half = piece.size / 2
            return piece.x - half, piece.y - half, piece.x + half, piece.y + half
        case Path():
            xs = [x for x, _ in piece.points]
            ys = [y for _, y in piece.points]
            return min(xs), min(ys), max(xs), max(ys)
        case _:
            raise ValueError(piece)
