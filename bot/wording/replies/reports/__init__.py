"""Answers to reports: first what was recorded, then what it means."""

from __future__ import annotations

from bot.wording.replies.reports.cared import cared, done
from bot.wording.replies.reports.counted import counted
from bot.wording.replies.reports.moved import harden, lost, moved, out, planted, potted
from bot.wording.replies.reports.read import light, temp
from bot.wording.replies.reports.sown import sown
from bot.wording.replies.reports.undone import all_undone, undo_list, undone
from bot.wording.words import Words
from core.replies import reports as r

WORDS: Words = {
    r.Sown: sown,
    r.CountRecorded: counted,
    r.CareRecorded: cared,
    r.TempRecorded: temp,
    r.LightRecorded: light,
    r.PottedRecorded: potted,
    r.MovedRecorded: moved,
    r.HardenRecorded: harden,
    r.OutRecorded: out,
    r.PlantedRecorded: planted,
    r.LostRecorded: lost,
    r.Done: done,
    r.Undone: undone,
    r.AllUndone: all_undone,
    r.UndoList: undo_list,
}
