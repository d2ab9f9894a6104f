"""A clash between two copies of the record in words: who did what when, and what counts meanwhile."""

from collections.abc import Mapping
from datetime import date

from model.days import local_time, say_day
from model.entered import STRUCK, ClashKind
from model.facts import Act, ActKind
from model.labels import label

ENDS = {
    ClashKind.MOVED: ("it stands at the first place", "it stands at the later one", ""),
    ClashKind.MORE: ("the first counts", "the later in its place", "both count"),
    ClashKind.CORRECTED: ("the first correction holds", "the later one holds", ""),
    ClashKind.GONE: ("it is gone", "it still stands", ""),
    ClashKind.BACK: ("it was rightly taken back", "it stands", ""),
    ClashKind.NUMBER: ("the new label is on", "", ""),
}
"""What somebody decides who takes the first, the later or both; empty where that decides nothing of its own."""


def asks(what: ClashKind) -> str:
    """What each key decides."""
    told = [f"{key} {end}" for key, end in zip("flb", ENDS[what], strict=True) if end]
    return ", ".join(told) + ("; b only where there are enough" if ENDS[what][-1] else "")


def said(
    what: ClashKind, number: int, acts: tuple[Act | None, Act | None], names: Mapping[int, str], zone: str
) -> str:
    """The whole clash in one sentence; `names` are places by id."""
    first, later = acts
    if what is ClashKind.NUMBER:
        new = f"the one of {first.who} is {label(int(later.new))}" if first and later and later.new else "one"
        return f"{what}: two trays {label(number)}, {new} now; write its label anew"
    both = [did(act, names, zone) for act in acts if act is not None]
    return f"{what}: {label(number)}, {', '.join(both)}; {counting(what, acts, names)}"


def did(act: Act, names: Mapping[int, str], zone: str, *, with_day: bool = False) -> str:
    """One act: what, by whom, when."""
    when = local_time(act.told_at or act.at, zone)
    if with_day:
        when = f"{say_day(act.day)} {when}"
    by = f"by {act.who} {when}"
    if act.kind is ActKind.MOVED:
        return f"{by} to {_place(act, names)}"
    if act.kind is ActKind.CORRECTED:
        return f"{_change(act)} {by}"
    count = f" {act.count}" if act.count is not None else ""
    return f"{act.kind}{count} {by}"


def counting(what: ClashKind, acts: tuple[Act | None, Act | None], names: Mapping[int, str]) -> str:
    """What counts until somebody has decided."""
    _, later = acts
    match what:
        case ClashKind.MOVED if later:
            return f"counts: {_place(later, names)}"
        case ClashKind.MORE if later:
            count = f" {later.count}" if later.count is not None else ""
            return f"not counted: {later.kind}{count} by {later.who}"
        case ClashKind.CORRECTED if later:
            struck = next((act for act in acts if act and act.field == STRUCK), later)
            return f"counts: {_change(struck)}"
        case ClashKind.GONE:
            return "counts: gone"
        case ClashKind.BACK:
            return "it stands meanwhile"
    return "nothing to count"


def _place(act: Act, names: Mapping[int, str]) -> str:
    return names.get(act.place_id or 0, "another place")


def _change(act: Act) -> str:
    if act.field == STRUCK:
        return "struck"
    new = act.new or ""
    if act.field in ("day", "sown_on"):
        new = say_day(date.fromisoformat(new))
    return f"{(act.field or '').replace('_', ' ')} {new.replace('/', ' ')}".strip()
