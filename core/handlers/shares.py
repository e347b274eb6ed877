"""Wishes for plants to take home, and who gets what."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from core.errors import UserError, ValueAbsurd
from core.folding import fold
from core.group import outlook
from core.group.garden import Garden, SowingOf
from core.group.growing import Growing, Stage
from core.group.standing import Standing, standing
from core.handlers.amounts import survival_here
from core.handlers.dates import lowest_night
from core.handlers.doers import doer
from core.handlers.rights import coordinates
from core.records import models as m
from core.records import snapshot
from core.replies.base import Reply
from core.replies.shares import (
    CareCard,
    CropShared,
    PartSaid,
    ShareSaid,
    WishesSaid,
    WishLine,
    WishSaid,
)
from core.requests import Planted, ShareOut, Where, Wish
from core.results.sharing import Wanted, share_out, sure_to_live
from core.scene import Scene
from core.trade.crops.table import crop_by_id
from core.trade.seed.amounts import ASSURANCE

SEASON = timedelta(days=300)
"""Wishes and hand-outs older than this were of another season. From memory."""

MOST_PLANTS = 500


@dataclass(slots=True)
class _Party:
    """A member or family with what they wish, by crop and by variety."""

    name: str
    order: int
    members: set[int] = field(default_factory=set)
    wished: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    kinds: dict[tuple[str, str | None], int] = field(default_factory=lambda: defaultdict(int))

    def only_variety(self, crop: str) -> str | None:
        """Return the variety that all the wishes of a crop name."""
        named = {variety for wished, variety in self.kinds if wished == crop}
        return named.pop() if len(named) == 1 else None


def wish(request: Wish, scene: Scene, session: Session) -> Reply:
    """Note what somebody would like, or show the wishes; raise ValueAbsurd.

    A new figure takes the place of the old one; none at all withdraws it.
    """
    assert scene.group_id is not None
    assert scene.member_id is not None
    garden = snapshot.garden(session, scene.group_id, scene.today)
    if request.plants is None or request.crop is None:
        return _wishes(garden, scene, session)
    if not 0 <= request.plants <= MOST_PLANTS:
        raise ValueAbsurd(quantity="plants", given=request.plants, lo=0, hi=MOST_PLANTS, unit="")
    member, for_name = _whose(garden, request.for_whom, scene.member_id)
    before, made_at = None, scene.now
    for row in _rows(session, scene):
        same = (row.member_id, fold(row.for_name or ""), row.crop, fold(row.variety or ""))
        if same == (member, fold(for_name or ""), request.crop, fold(request.variety or "")):
            before, made_at = row.plants, row.made_at  # a changed wish keeps its place
            row.ended_at = scene.now
    if request.plants:
        session.add(
            m.Wish(
                group_id=scene.group_id,
                member_id=member,
                for_name=for_name,
                crop=request.crop,
                variety=request.variety,
                plants=request.plants,
                made_at=made_at,
                ended_at=None,
            )
        )
    session.flush()
    every = snapshot.all_sowings(session, scene.group_id)
    alive, expected, _, _ = _living(garden, every, request.crop)
    parties = _parties(garden, _rows(session, scene))
    spoken_for = for_name
    if member != scene.member_id and for_name is None:
        spoken_for = garden.members[member].name
    return WishSaid(
        crop=request.crop,
        variety=request.variety,
        plants=request.plants,
        before=before,
        for_name=spoken_for,
        back=replace(request, plants=before or 0),
        alive=alive,
        expected=expected,
        wished=sum(party.wished.get(request.crop, 0) for party in parties.values()),
    )


def _whose(garden: Garden, for_whom: str | None, speaker: int) -> tuple[int, str | None]:
    """Return whose wish it is: a member, or the speaker's for a family or helper by name."""
    if for_whom is None or fold(for_whom) in ("me", "myself"):
        return speaker, None
    member, name = doer(garden, for_whom)
    return (speaker, name) if member is None else (member, None)


def _rows(session: Session, scene: Scene) -> list[m.Wish]:
    """Return the wishes that stand, the first one first."""
    return list(
        session.scalars(
            select(m.Wish)
            .where(
                m.Wish.group_id == scene.group_id,
                m.Wish.ended_at.is_(None),
                m.Wish.made_at > scene.now - SEASON,
            )
            .order_by(m.Wish.made_at, m.Wish.id)
        )
    )


def _parties(garden: Garden, rows: Sequence[m.Wish]) -> dict[str, _Party]:
    """Return who wishes, by folded name, so that hand-outs by name can be put to them.

    Wishes of members who have left are left out.
    """
    parties: dict[str, _Party] = {}
    for row in rows:
        member = garden.members.get(row.member_id)
        if member is None:
            continue
        name = row.for_name or member.name
        party = parties.setdefault(fold(name), _Party(name=name, order=len(parties)))
        party.members.add(row.member_id)
        party.wished[row.crop] += row.plants
        party.kinds[row.crop, row.variety] += row.plants
    return parties


def _wishes(garden: Garden, scene: Scene, session: Session) -> WishesSaid:
    coordinates(scene, session)
    parties = _parties(garden, _rows(session, scene))
    return WishesSaid(
        lines=tuple(
            WishLine(name=party.name, crop=crop, variety=variety, plants=plants)
            for party in parties.values()
            if scene.coordinator or scene.member_id in party.members
            for (crop, variety), plants in party.kinds.items()
        ),
        everybody=scene.coordinator,
    )


def share(request: ShareOut, scene: Scene, session: Session) -> Reply:
    """Return wishes against what is alive: everybody's part to a coordinator, else one's own."""
    assert scene.group_id is not None
    coordinates(scene, session)
    garden = snapshot.garden(session, scene.group_id, scene.today)
    every = snapshot.all_sowings(session, scene.group_id)
    parties = _parties(garden, _rows(session, scene))
    wished = dict.fromkeys(
        crop
        for party in parties.values()
        if scene.coordinator or scene.member_id in party.members
        for crop in party.wished
    )
    crops = [request.crop] if request.crop is not None else list(wished)
    shared = tuple(_shared(garden, every, parties, crop, scene) for crop in crops)
    hazards = dict.fromkeys(h.value for crop in crops for h in crop_by_id(crop).hazards)
    return ShareSaid(
        crops=shared, everybody=scene.coordinator, crop=request.crop, hazards=tuple(hazards)
    )


def _shared(
    garden: Garden,
    every: Sequence[SowingOf],
    parties: dict[str, _Party],
    crop: str,
    scene: Scene,
) -> CropShared:
    alive, expected, survival, survival_of = _living(garden, every, crop)
    taken = _taken(every, crop, scene.today)
    sharers = {key: party for key, party in parties.items() if party.wished.get(crop)}
    result = share_out(
        expected,
        (
            Wanted(
                key=key,
                wished=party.wished[crop],
                taken=taken[key][1] if key in taken else 0,
                order=party.order,
            )
            for key, party in sharers.items()
        ),
    )
    parts = []
    for part in result.parts:
        party = sharers[part.key]
        if not scene.coordinator and scene.member_id not in party.members:
            continue
        parts.append(
            PartSaid(
                name=party.name,
                wished=party.wished[crop],
                taken=part.in_all - part.now,
                now=part.now,
                hand_out=_hand_out(garden, crop, part.now, party)
                if scene.coordinator and part.now
                else None,
            )
        )
    return CropShared(
        crop=crop,
        alive=alive,
        expected=expected,
        survival=survival,
        survival_of=survival_of,
        assurance=ASSURANCE,
        parts=tuple(parts),
        wished=sum(party.wished[crop] for party in sharers.values()),
        sharers=len(sharers),
        surplus=result.surplus,
        care=care_card(garden, crop, scene.today),
        others=tuple(entry for key, entry in taken.items() if key not in sharers)
        if scene.coordinator
        else (),
    )


def _of_crop(garden: Garden, crop: str) -> list[Standing]:
    return [pair for pair in standing(garden) if pair[0].crop == crop]


def plants_of(sowing: SowingOf, growing: Growing) -> int:
    """Return the plants a sowing can still give: one a cell while it is not thinned."""
    if growing.stage is Stage.UP and growing.thinned_on is None:
        return min(growing.alive, len(sowing.cells))
    return growing.alive


def _living(
    garden: Garden, every: Sequence[SowingOf], crop: str
) -> tuple[int, int, float, tuple[int, int] | None]:
    """Return (alive, sure enough to live, survival, what that rests on) of a crop."""
    alive = sum(plants_of(sowing, growing) for sowing, growing in _of_crop(garden, crop))
    survival, basis = survival_here(every, crop)
    return alive, sure_to_live(alive, survival), survival, basis


def _taken(every: Sequence[SowingOf], crop: str, today: date) -> dict[str, tuple[str, int]]:
    """Return the ledger of a crop: folded name → (name, plants), of this season's hand-outs."""
    ledger: dict[str, tuple[str, int]] = {}
    for sowing in every:
        if sowing.crop != crop:
            continue
        for report in sowing.happenings:
            name = report.values.get("to")
            if report.kind != "planted" or not name or report.on <= today - SEASON:
                continue
            key = fold(str(name))
            shown, plants = ledger.get(key, (str(name), 0))
            ledger[key] = shown, plants + int(report.values.get("count") or 0)
    return ledger


def _hand_out(garden: Garden, crop: str, plants: int, party: _Party) -> Planted:
    """Return the report that hands a part out: from the sowing furthest on that has enough.

    A sowing of the variety wished goes before the others.
    """
    order, name = list(Stage), party.name
    enough = [(s, g) for s, g in _of_crop(garden, crop) if g.alive >= plants]
    if not enough:
        return Planted(where=Where(crop=crop), count=plants, to_whom=name)
    wanted = fold(party.only_variety(crop) or "")
    enough = [pair for pair in enough if fold(pair[0].variety or "") == wanted] or enough
    sowing, _ = max(enough, key=lambda pair: (order.index(pair[1].stage), -pair[0].number))
    return Planted(where=Where(sowing=sowing.code), count=plants, to_whom=name)


def care_card(garden: Garden, crop_id: str, today: date) -> CareCard:
    """Return what to know of a crop when taking a plant home."""
    crop = crop_by_id(crop_id)
    dates = [outlook.plant_out_on(garden, sowing, today) for sowing, _ in _of_crop(garden, crop_id)]
    known = [day for day in dates if day is not None] or _by_frost(garden, crop_id, today)
    night, by_class = lowest_night(crop)
    low, high = crop.spacing_cm_min, crop.spacing_cm_max
    return CareCard(
        plant_out=min(known, default=None),
        no_frost=outlook.frost_of(garden) is None,
        spacing_mm=(low * 10, high * 10) if low is not None and high is not None else None,
        spacing_checked="spacing_cm_min" not in crop.from_memory,
        night_c=night,
        night_by_class=by_class,
    )


def _by_frost(garden: Garden, crop_id: str, today: date) -> list[date]:
    """Return the crop's date by the frost dates, where nothing of it grows yet."""
    try:
        dates = outlook.schedule_of(garden, crop_id, today)
    except UserError:
        return []  # no date can be told here
    return [] if dates is None or dates.indoors is None else [dates.indoors.plant_out.target]
