"""A clash between two copies of the record in words: who did what when, and what counts meanwhile."""

from collections.abc import Mapping

from model.days import local_time, say_day
from model.entered import ClashKind
from model.facts import Act, ActKind
from model.labels import label
from model.rules.ledger import STRUCK

ASKS = {
    ClashKind.MOVED: "f it stands at the first place, l at the later one",
    ClashKind.MORE: "f the first counts, l the later in its place, b both where there are enough",
    ClashKind.CORRECTED: "f the first correction holds, l the later one",
    ClashKind.GONE: "f it is gone, l it still stands",
    ClashKind.BACK: "f it was taken back rightly, l it stands",
    ClashKind.NUMBER: "f once the new label is on",
}
"""What each key would decide."""


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
    when = local_time(act.at, zone)
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
            return f"not counted: {later.kind} by {later.who}"
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
    return f"{(act.field or '').replace('_', ' ')} {act.new or ''}".strip()
