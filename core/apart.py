"""Work that a request needs and that must not be done in its transaction.

A file is read and a plan solved while nothing is locked: the handler asks for the work, its
transaction is given up, and the request is handled again with what came of it at hand. By then
the records may ask for other work; that is asked for in turn, MOST times a request.
"""

from __future__ import annotations

import hashlib
import pickle
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, ParamSpec, TypeVar, cast

from core.errors import TookTooLong, UserError
from core.scene import Scene

P = ParamSpec("P")
T = TypeVar("T")

MOST = 5


class Errand(Exception):
    """What is to be worked out first: a function of a module with plain values.

    Attributes:
        key: the same for the same work.
        work: function and values, pickled.
    """

    def __init__(self, key: str, work: bytes) -> None:
        super().__init__(key)
        self.key, self.work = key, work


@dataclass(frozen=True, slots=True, kw_only=True)
class Worked:
    """What came of an errand: a value, a mistake to raise, or neither in the time it had."""

    value: Any = None
    mistake: UserError | None = None
    given_up: bool = False


def apart(scene: Scene, call: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> T:
    """Return what a call returns, worked out outside of the transaction where that is the way.

    `call` is a pure function of a module; it may raise UserErrors. Raises Errand, TookTooLong.
    """
    if scene.worked is None:
        return call(*args, **kwargs)
    work = pickle.dumps((call, args, kwargs))
    key = hashlib.sha256(work).hexdigest()
    found = scene.worked.get(key)
    if found is None:
        if len(scene.worked) >= MOST:
            raise TookTooLong()
        raise Errand(key, work)
    if found.mistake is not None:
        raise found.mistake
    if found.given_up:
        raise TookTooLong()
    return cast("T", found.value)
