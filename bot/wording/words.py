"""The shape in which a subject hands out its words."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from bot.message import Message
from bot.wording.voice import Voice

Words = Mapping[type, Callable[[Any, Voice], Message]]
"""Type of a reply or a mistake → how it is said."""
