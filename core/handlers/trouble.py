"""Questions in plain words: whose they are, the causes weighed, and at most two questions back."""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Any

from sqlalchemy.orm import Session

from core.errors import TrayUnknown, UserError
from core.group.garden import Garden
from core.group.growing import follow
from core.group.standing import Standing, standing
from core.handlers.aim import sowings_meant
from core.handlers.looked_up import look_up
from core.handlers.topics import told_topic
from core.records import models as m
from core.records import snapshot
from core.replies.base import Reply
from core.replies.trouble import PARTS, AnswerLate, Causes, NotOurs, NotRecognised
from core.requests import Answer, Ask, Where
from core.scene import Scene
from core.trade.crops.table import crop_by_id
from core.trouble.asked import Question, read_question, with_crop
from core.trouble.diagnosis import Diagnosis, diagnose
from core.trouble.kind import sounds_unwell
from core.trouble.looked_up import sought_in
from core.trouble.questions import QUESTIONS
from core.trouble.route import Answerer, routed
from core.trouble.tray_evidence import evidence_of, limits_of, stage_of

PATIENCE = timedelta(hours=12)
CLOSED_COUNTS = timedelta(days=14)
"""For how long a sowing that was lost or finished still speaks of what went wrong."""

_TRAY = re.compile(r"(?<!\w)(t\d{1,3})(?!\w)", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class About:
    """What a question is about, as far as it is clear."""

    aimed: Standing | None
    tray: str | None
    crop: str | None


def ask(request: Ask, scene: Scene, session: Session) -> Reply:
    """Return ranked causes for what a member describes, or where such a question belongs."""
    garden = _garden(session, scene)
    question = read_question(request.text)
    sought = sought_in(request.text)
    if sought is not None:
        where = _where_said(request, question)
        return look_up(session, garden, sought, where, request.text, scene)
    about = _about(garden, session, scene, request.where, request.text, question)
    diagnosis = _diagnosis(garden, scene, question, about, {}, ())
    route = routed(request.text, question, diagnosis)
    if route.by is Answerer.TOPIC and route.topic is not None:
        return told_topic(
            garden,
            route.topic,
            request.text,
            scene.today,
            sowing=about.aimed[0].code if about.aimed and not about.aimed[0].closed_on else None,
            tray=about.tray,
            crop=about.crop,
            near=route.near,
        )
    where = _where_said(request, question)
    ours = route.by is not Answerer.NOT_OURS or route.belongs == "elsewhere"
    unsaid = route.by is not Answerer.TROUBLE and ours
    if unsaid and sounds_unwell(request.text) and not where.empty:
        return NotRecognised(text=request.text, unwell=True, where=where)
    if route.by is Answerer.NOT_OURS:
        return NotOurs(text=request.text, belongs=route.belongs or "elsewhere")
    if route.by is not Answerer.TROUBLE:
        return NotRecognised(text=request.text, near=route.near)
    state: dict[str, Any] = {
        "text": request.text,
        "where": {
            "sowing": about.aimed[0].code if about.aimed else None,
            "tray": about.tray,
            "crop": about.crop,
        },
        "asked": [],
        "answers": {},
    }
    return _answer(session, scene, diagnosis, state, about, None)


def answer(request: Answer, scene: Scene, session: Session) -> Reply:
    """Take the answer to a question and weigh the causes again, or show more of the last answer.

    Only the person who was asked may answer.
    """
    row = session.get(m.Dialogue, request.dialogue)
    if (
        row is None
        or row.kind != "ask"
        or row.person_id != scene.person_id
        or row.group_id != scene.group_id
        or scene.now - row.asked_at > PATIENCE
    ):
        return AnswerLate()
    garden = _garden(session, scene)
    state = dict(row.state)
    where = state["where"]
    found = Where(
        sowing=where["sowing"],
        trays=(where["tray"],) if where["tray"] else (),
        crop=where["crop"],
    )
    question = read_question(state["text"])
    about = _about(garden, session, scene, found, state["text"], question)
    before = _diagnosis(garden, scene, question, about, state["answers"], state["asked"])
    if request.choice in PARTS:
        return _reply(before, about, row.id, part=request.choice, first=None)
    if row.ended_at is not None or not state["asked"]:
        return AnswerLate()
    last = QUESTIONS.by_id()[state["asked"][-1]]
    option = next((o for o in last.options if o.code == request.choice), None)
    state["answers"] = {**state["answers"], last.id: option.code if option else ""}
    after = _diagnosis(garden, scene, question, about, state["answers"], state["asked"])
    first = before.causes[0].cause.id if before.causes else None
    return _answer(session, scene, after, state, about, row, first=first)


def _diagnosis(
    garden: Garden,
    scene: Scene,
    question: Question,
    about: About,
    answers: dict[str, str],
    asked: Collection[str],
) -> Diagnosis:
    crop = crop_by_id(about.crop) if about.crop else None
    known = question.said.over(evidence_of(garden, about.aimed, about.tray, scene.today))
    for name, code in answers.items():
        if code:
            known = QUESTIONS.by_id()[name].answered(known, code)
    return diagnose(
        question.heard,
        with_crop(known, crop),
        limits_of(crop.id) if crop else None,
        stage_of(garden, about.aimed, about.tray, scene.today),
        asked=asked,
    )


def _answer(
    session: Session,
    scene: Scene,
    diagnosis: Diagnosis,
    state: dict[str, Any],
    about: About,
    row: m.Dialogue | None,
    *,
    first: str | None = None,
) -> Causes:
    question = diagnosis.question
    if scene.person_id is None:
        return _reply(diagnosis, about, 0, part="short", first=first)
    if question is not None:
        state = {**state, "asked": [*state["asked"], question.id]}
    if row is None:
        row = m.Dialogue(
            chat_id=scene.chat_id,
            person_id=scene.person_id,
            group_id=scene.group_id,
            kind="ask",
            state=state,
            asked_at=scene.now,
            ended_at=None,
        )
        session.add(row)
    row.state = state
    row.ended_at = scene.now if question is None else None
    session.flush()
    return _reply(diagnosis, about, row.id, part="short", first=first)


def _reply(
    diagnosis: Diagnosis, about: About, dialogue: int, *, part: str, first: str | None
) -> Causes:
    question = diagnosis.question if part == "short" and dialogue else None
    return Causes(
        sowing=about.aimed[0].code if about.aimed else None,
        crop=about.crop,
        tray=about.tray,
        causes=diagnosis.causes,
        dialogue=dialogue,
        question=question.id if question is not None else None,
        part=part,
        first_before=first,
    )


def _where_said(request: Ask, question: Question) -> Where:
    """Return what the sentence names: every tray of it, else what was read from it, or its crop."""
    named = tuple(dict.fromkeys(found.upper() for found in _TRAY.findall(request.text)))
    if named:
        return replace(request.where, trays=named, crop=None)
    return request.where if not request.where.empty else Where(crop=question.crop)


def _about(
    garden: Garden,
    session: Session,
    scene: Scene,
    where: Where,
    text: str,
    question: Question,
) -> About:
    """Return the sowing, tray and crop that the question is about, as far as they are clear.

    Raises TrayUnknown for a tray that is named and not there.
    """
    crop = where.crop or question.crop
    named = [found.upper() for found in _TRAY.findall(text)]
    tray = where.trays[0].upper() if where.trays else next(iter(named), None)
    if tray is not None and tray not in garden.trays:
        raise TrayUnknown(tray=tray, known=tuple(garden.trays))
    aim = Where(
        sowing=where.sowing, trays=(tray,) if tray else (), crop=where.crop, cells=where.cells
    )
    if aim.empty and crop is not None:
        aim = Where(crop=crop)
    found: list[Standing] = []
    try:
        found = sowings_meant(garden, aim) if not aim.empty else standing(garden)
    except UserError:
        found = []
    if tray is not None and crop is not None and where.crop is None:
        found = [pair for pair in found if pair[0].crop == crop] or found
    if not found and (tray or crop):
        found = _closed_lately(session, scene, tray, crop)
    aimed = found[0] if len(found) == 1 else None
    if aimed is not None:
        # a crop the question names counts before the only one that stands
        same = crop is None or aimed[0].crop == crop
        if same or tray is not None:
            return About(aimed=aimed, tray=aimed[1].tray, crop=aimed[0].crop)
        return About(aimed=None, tray=None, crop=crop)
    trays = {growing.tray for _, growing in found}
    if tray is None and len(trays) == 1 and crop is not None:
        tray = trays.pop()
    return About(aimed=None, tray=tray if tray in garden.trays else None, crop=crop)


def _closed_lately(
    session: Session, scene: Scene, tray: str | None, crop: str | None
) -> list[Standing]:
    """Return the sowing closed last within two weeks that fits, as a list of at most one."""
    assert scene.group_id is not None
    since = scene.today - CLOSED_COUNTS
    found = [
        (sowing, follow(sowing))
        for sowing in snapshot.all_sowings(session, scene.group_id)
        if sowing.closed_on is not None
        and sowing.closed_on >= since
        and (crop is None or sowing.crop == crop)
        and (tray is None or sowing.tray == tray)
    ]
    found.sort(key=lambda pair: pair[0].closed_on or since)
    return found[-1:]


def _garden(session: Session, scene: Scene) -> Garden:
    assert scene.group_id is not None
    return snapshot.garden(session, scene.group_id, scene.today)
