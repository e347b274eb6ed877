"""A word with several meanings: never settled silently, always asked."""

from __future__ import annotations


class Unclear(Exception):
    """A span of the line that may be read in several ways.

    Attributes:
        kind: what is open: `date`, `crop` or `unit`.
        start, end: the span, in the whole text of the bag.
        options: texts to put in its place, each with one meaning only.
    """

    def __init__(self, *, kind: str, start: int, end: int, options: tuple[str, ...]) -> None:
        super().__init__(kind)
        self.kind = kind
        self.start = start
        self.end = end
        self.options = options
