"""Faults on demand: what goes wrong between the bot and the platform, repeatably.

Kinds:
    500            answered with 500, not handled
    429            answered with 429 and `retry_after_s`, not handled; the chat stays closed
                   for that long (see Pace.hold)
    reset_before   the connection is cut (RST), not handled
    reset_after    handled and recorded, then the connection is cut: the answer is lost
    hang           handled and recorded, answered only after `hang_s`
    hang_before    not handled; after `hang_s` the connection is cut
    page, page_502 a page of something in between is the answer, with status 200 or 502; not
                   handled (by `next` only)
"""

from __future__ import annotations

import random
from collections.abc import Iterable
from dataclasses import dataclass

KINDS = ("500", "429", "reset_before", "reset_after", "hang", "hang_before")
PAGES = {"page": 200, "page_502": 502}
SENDING = ("sendMessage", "sendPhoto", "sendDocument", "sendMediaGroup")


@dataclass(slots=True, kw_only=True)
class Fault:
    """One fault; applies to `times` matching calls after letting `skip` matching calls pass.

    None for `method` or `chat_id` matches any.
    """

    kind: str
    method: str | None = None
    chat_id: int | None = None
    times: int = 1
    skip: int = 0
    retry_after_s: int = 1
    hang_s: float = 5.0

    def __post_init__(self) -> None:
        if self.kind not in (*KINDS, *PAGES):
            raise ValueError(f"fault {self.kind!r} is none of {(*KINDS, *PAGES)}")


class Faults:
    """Decides, call by call, whether and how it fails.  `injected` counts by kind."""

    def __init__(self) -> None:
        self.injected: dict[str, int] = dict.fromkeys((*KINDS, *PAGES), 0)
        self._script: list[Fault] = []
        self.clear()

    def clear(self) -> None:
        """Stop all faults; the counts stay."""
        self._script = []
        self._rate = 0.0
        self._kinds: tuple[str, ...] = KINDS
        self._methods: frozenset[str] | None = None
        self._random = random.Random(0)
        self._retry_after_s, self._hang_s = 1, 5.0

    def fraction(
        self,
        rate: float,
        *,
        kinds: Iterable[str] = KINDS,
        methods: Iterable[str] | None = None,
        seed: int = 0,
        retry_after_s: int = 1,
        hang_s: float = 5.0,
    ) -> None:
        """Fail a share `rate` (0..1) of the calls, kinds drawn evenly.

        The same seed and the same sequence of matching calls give the same faults.
        """
        self._kinds = tuple(Fault(kind=kind).kind for kind in kinds)
        if not 0 <= rate <= 1 or not self._kinds:
            raise ValueError("rate must lie in 0..1 and kinds must name one")
        self._rate = rate
        self._methods = frozenset(methods) if methods is not None else None
        self._random = random.Random(seed)
        self._retry_after_s, self._hang_s = retry_after_s, hang_s

    def next(self, kind: str, method: str | None = None, **rest: object) -> Fault:
        """Schedule a fault for the next matching call; `rest` as in Fault."""
        fault = Fault(kind=kind, method=method, **rest)  # type: ignore[arg-type]
        self._script.append(fault)
        return fault

    def pick(self, method: str, chat_id: object) -> Fault | None:
        """Return the fault of this call, if any, and count it."""
        if not self._script and not self._rate:
            return None
        fault = self._scripted(method, chat_id) or self._drawn(method)
        if fault is not None:
            self.injected[fault.kind] += 1
        return fault

    def _scripted(self, method: str, chat_id: object) -> Fault | None:
        for fault in self._script:
            if fault.method not in (None, method) or fault.chat_id not in (None, chat_id):
                continue
            if fault.skip:
                fault.skip -= 1
                continue
            fault.times -= 1
            if fault.times <= 0:
                self._script.remove(fault)
            return fault
        return None

    def _drawn(self, method: str) -> Fault | None:
        if not self._rate or (self._methods is not None and method not in self._methods):
            return None
        if self._random.random() >= self._rate:
            return None
        kind = self._random.choice(self._kinds)
        return Fault(kind=kind, retry_after_s=self._retry_after_s, hang_s=self._hang_s)
