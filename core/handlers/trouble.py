"""Trouble in plain words: signs, evidence, causes, at most two questions."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from sqlalchemy.orm import Session

from core.errors import UserError
from core.group.garden import Garden
from core.group.standing import Standing, standing
from core.handlers.aim import sowings_meant
from core.records import models as m
from core.records import snapshot
from core.replies.base import Reply
from core.replies.trouble import AnswerLate, Causes, NotRecognised
from core.requests import Answer, Ask, Where
from core.scene import Scene
from core.trade.crops.table import find_crop
from core.trouble.diagnosis import Diagnosis, diagnose
from core.trouble.evidence import Evidence
from core.trouble.evidence_text import evidence_in
from core.trouble.questions import QUESTIONS
from core.trouble.symptoms import SymptomMatch, match_bare, match_symptoms
from core.trouble.tray_evidence import evidence_of, limits_of, stage_of

PATIENCE = timedelta(hours=12)


def ask(request: Ask, scene: Scene, session: Session) -> Reply:
    """Return ranked causes for what a member describes, or how to ask when nothing is
    recognised."""
    garden = _garden(session, scene)
    aimed, tray, crop = _about(garden, request.where, request.text)
    names = _names(garden)
    symptoms = _signs(request.text, names, named=bool(crop or tray))
    if not symptoms:
        return NotRecognised(text=request.text)
    said = evidence_in(request.text)
    known = said.over(evidence_of(garden, aimed, tray, scene.today))
    state: dict[str, Any] = {
        "text": request.text,
        "where": {
            "sowing": aimed[0].code if aimed else None,
            "tray": tray,
            "crop": crop,
        },
        "asked": [],
        "answers": {},
    }
    return _answer(garden, session, scene, symptoms, known, state, (aimed, tray, crop), None)


def answer(request: Answer, scene: Scene, session: Session) -> Reply:
    """Take the answer to a question and rank the causes again.

    Only the person who was asked may answer.
    """
    row = session.get(m.Dialogue, request.dialogue)
    if (
        row is None
        or row.kind != "ask"
        or row.person_id != scene.person_id
        or row.group_id != scene.group_id
        or row.ended_at is not None
        or scene.now - row.asked_at > PATIENCE
    ):
        return AnswerLate()
    garden = _garden(session, scene)
    state = dict(row.state)
    where = state["where"]
    found = Where(sowing=where["sowing"], trays=(where["tray"],) if where["tray"] else ())
    aimed, tray, crop = _about(garden, found, state["text"])
    question = QUESTIONS.by_id()[state["asked"][-1]]
    option = next((o for o in question.options if o.code == request.choice), None)
    answers = {**state["answers"], question.id: option.code if option else ""}
    state = {**state, "answers": answers}
    symptoms = _signs(state["text"], _names(garden), named=bool(crop or tray))
    known = evidence_in(state["text"]).over(evidence_of(garden, aimed, tray, scene.today))
    for asked, code in answers.items():
        if code:
            known = QUESTIONS.by_id()[asked].answered(known, code)
    return _answer(garden, session, scene, symptoms, known, state, (aimed, tray, crop), row)


def _answer(
    garden: Garden,
    session: Session,
    scene: Scene,
    symptoms: tuple[SymptomMatch, ...],
    known: Evidence,
    state: dict[str, Any],
    about: tuple[Standing | None, str | None, str | None],
    row: m.Dialogue | None,
) -> Causes:
    aimed, tray, crop = about
    diagnosis: Diagnosis = diagnose(
        symptoms,
        known,
        limits_of(crop) if crop else None,
        stage_of(garden, aimed, tray, scene.today),
        asked=state["asked"],
    )
    question = diagnosis.question
    if question is not None and scene.person_id is not None:
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
        session.flush()
    elif row is not None:
        row.ended_at = scene.now
    return Causes(
        symptoms=tuple(match.symptom.id for match in symptoms),
        about=(aimed[0].code if aimed else None, crop, tray),
        causes=diagnosis.causes,
        dialogue=row.id if row is not None and question is not None else 0,
        question=question.id if question is not None else None,
    )


def _signs(text: str, names: tuple[str, ...], *, named: bool) -> tuple[SymptomMatch, ...]:
    """Return the signs in a sentence; a bare word such as `tall` counts once it is said of
    what."""
    return match_symptoms(text, ignore=names) or (match_bare(text) if named else ())


def _about(
    garden: Garden, where: Where, text: str
) -> tuple[Standing | None, str | None, str | None]:
    """Return the sowing, tray and crop that the question is about, as far as they are clear."""
    crop = where.crop
    if crop is None and where.empty:
        for word in text.replace(",", " ").split():
            match = find_crop(word)
            if match.crop is not None and not match.typo:
                crop = match.crop.id
                break
    tray = where.trays[0] if where.trays else None
    if tray is None and where.empty:
        upper = {word.strip(".,!?").upper() for word in text.split()}
        tray = next((code for code in garden.trays if code in upper), None)
    found: list[Standing] = []
    try:
        aim = Where(
            sowing=where.sowing,
            trays=(tray,) if tray and tray in garden.trays else (),
            crop=crop,
            cells=where.cells,
        )
        found = sowings_meant(garden, aim) if not aim.empty else standing(garden)
    except UserError:
        found = []
    aimed = found[0] if len(found) == 1 else None
    if aimed is not None:
        return aimed, aimed[1].tray, aimed[0].crop
    trays = {growing.tray for _, growing in found}
    if tray is None and len(trays) == 1 and crop is not None:
        tray = trays.pop()
    return None, tray if tray in garden.trays else None, crop


def _names(garden: Garden) -> tuple[str, ...]:
    varieties = {s.variety for s in garden.sowings if s.variety}
    return (*garden.trays, *garden.shelves, *varieties)


def _garden(session: Session, scene: Scene) -> Garden:
    assert scene.group_id is not None
    return snapshot.garden(session, scene.group_id, scene.today)
