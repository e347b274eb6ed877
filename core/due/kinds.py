"""Kinds of what is said unasked, and the ways in which a group may want to hear it."""

from __future__ import annotations

from enum import StrEnum


class NoticeKind(StrEnum):
    """What a notice is; with recipient, subject and date its natural key."""

    ROUND = "round"  # the group's list of the day: what concerns everybody
    NUDGE = "nudge"  # one person's own list, in private
    AGAIN = "again"  # the same person once more, with how long the plants can wait
    STAND_IN = "stand_in"  # what plants need before the next look, to a coordinator in private
    RISE = "rise"  # the same to the group, without names, when nobody else can be reached
    ALARM = "alarm"  # a cold night told in private
    DUSK = "dusk"  # before a cold night: what still stands outside
    REMINDER = "reminder"  # what somebody asked for today, after the day's list was said
    QUIET = "quiet"  # nobody has answered for days: how to go on


class Channel(StrEnum):
    """Where a group hears of its work."""

    BOTH = "both"  # one's own list in private, what concerns everybody in the group
    GROUP = "group"  # all of it in the group
    PRIVATE = "private"  # all of it in private, as far as somebody can be reached there
    WEEKLY = "weekly"  # one list a week, in the group
    PAUSED = "paused"  # nothing but a cold night
