"""A sheet that is entered twice stands once: acts from paper that are on record already, word for word."""

from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace
from typing import Any

from model.errors import SaidAlready
from model.facts import Act, ActKind
from model.rules.helping import instead_of
from model.rules.ledger import MAKES_OR_MOVES_PLANTS, corrected
from model.rules.tonight import OF_NIGHTS
from model.store import births, reading
from model.store.database import Rows
from model.text import cut

MARKS = frozenset({ActKind.LOOKED, ActKind.WATERED, ActKind.LEFT_DRY, ActKind.FED})
"""What may be said of some trays, or of a whole place in one stroke."""


SHOWN = 40
"""Signs of what stands that are said, so that the way out is on the screen too."""


def stands_already(words: str, kinds: Collection[ActKind]) -> SaidAlready:
    """Why nothing was entered, and the way for what can be done twice in a minute: a mark can't."""
    way = "" if MARKS.issuperset(kinds) else "; C corrects it, or give it its own minute"
    if not MAKES_OR_MOVES_PLANTS.isdisjoint(kinds):
        way = "; done twice, it gets its own minute"
    return SaidAlready(
        f"That stands already for this time on paper: {cut(words, SHOWN)}.", f"Nothing more was entered{way}."
    )


def told_already(rows: Rows, own: Sequence[Act]) -> list[Act]:
    """Those of the acts of one entry from paper that say nothing new, to be dropped.

    What the same person said for the same minute and what still counts is compared with them in everything. What is
    put down together of a sowing stays together; what makes trays or sowings stands whole, or not at all. Raises
    SaidAlready where all stands.
    """
    # A correction, and what is put down anew for another tray, hang on an act of their own.
    if not own or any(act.of_act_id for act in own):
        return []
    said = _said(rows, own)
    # A feed that isn't named is like any feed.
    unnamed = (replace(act, text=None) for act in said if act.kind is ActKind.FED and act.text)
    likes = Counter(map(_like, [*said, *unnamed]))
    if made := births.sown_alike(rows, own[0].entry_id):
        trays, sowings = births.made_by(rows, own[0].entry_id)
        before = [act for act in own if act.tray_id not in trays and act.sowing_id not in sowings]
        if before and _all_stand(before, likes):
            _refuse_made(rows, made, {act.entry_id for act in said})
        return []
    groups: dict[tuple[int | None, int | None], list[Act]] = {}
    for act in own:
        groups.setdefault((act.tray_id, act.sowing_id), []).append(act)
    return [act for acts in groups.values() if _all_stand(acts, likes) for act in acts]


def _said(rows: Rows, own: Sequence[Act]) -> list[Act]:
    """What the same person said before of the same trays for the same time on paper, and what still holds of it."""
    one, tray_ids = own[0], {act.tray_id for act in own if act.tray_id is not None}
    live = births.live_acts(rows, tray_ids, reading.dead_entries(rows), min(act.day for act in own))
    said: list[Act] = []
    for act in sorted((act for acts in live.values() for act in corrected(acts, ())), key=lambda act: act.id):
        if (act.who, act.told_at) == (one.who, one.told_at) and act.entry_id != one.entry_id:
            said = [*(old for old in said if not _outdone(old, act)), act]
    return said


def _outdone(old: Act, new: Act) -> bool:
    """Whether a later word took an earlier one's place, so that the earlier one said again is news."""
    if (old.tray_id, old.day) != (new.tray_id, new.day):
        return False
    one_holds = any(
        {old.kind, new.kind} <= kinds for kinds in ({ActKind.MOVED}, {ActKind.RELABELLED}, OF_NIGHTS)
    )
    return one_holds or instead_of(new.kind, old.kind)


def _like(act: Act) -> Act:
    """An act as it is compared: without what tells one entry from another."""
    return replace(act, id=0, entry_id=0, of_act_id=None, at=act.told_at or act.at)


def _all_stand(acts: Iterable[Act], likes: Counter[Act]) -> bool:
    return Counter(map(_like, acts)) <= likes


def _refuse_made(rows: Rows, made: Counter[tuple[Any, ...]], entry_ids: Iterable[int]) -> None:
    """Raise SaidAlready with the words of an earlier entry that made the same: its trays have the numbers that stand."""
    for entry_id in entry_ids:
        if births.sown_alike(rows, entry_id) == made:
            ((words,),) = rows("SELECT words FROM entry WHERE id = ?", entry_id)
            raise stands_already(words, {ActKind.POTTED_UP, ActKind.RESOWN})
