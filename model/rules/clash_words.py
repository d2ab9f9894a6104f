"""A clash between two copies of the record in words: who did what when, and what counts meanwhile."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from model.days import local_time, say_day
from model.entered import STRUCK, ClashKind
from model.facts import Act, ActKind
from model.labels import label
from model.text import cut

SAID_OF = 30
"""Most signs of a bed, a role or a cause in a sentence [columns]."""
DECIDED = "decided, "
"""How the words of a decision begin."""

TWO_WAYS = "decided in two ways"
"""How the words begin of two decisions that contradict each other."""

TOLD_TWICE, TREATED_IN_ONE = "both copies told of seed lot", "seed lot"
"""How the words begin of what two copies told differently of a lot."""


class Choice(StrEnum):
    """Which of two acts counts, by its key."""

    FIRST = "f"
    LATER = "l"
    BOTH = "b"


ENDS = {
    ClashKind.MOVED: {
        Choice.FIRST: "it stands at the first place",
        Choice.LATER: "it stands at the later one",
    },
    ClashKind.MORE: {
        Choice.FIRST: "the first counts",
        Choice.LATER: "the later in its place",
        Choice.BOTH: "both count",
    },
    ClashKind.CORRECTED: {
        Choice.FIRST: "the first correction holds",
        Choice.LATER: "the later one holds",
    },
    ClashKind.GONE: {Choice.FIRST: "it is gone", Choice.LATER: "it still stands"},
    ClashKind.BACK: {Choice.FIRST: "it was rightly taken back", Choice.LATER: "it stands"},
    ClashKind.NUMBER: {Choice.FIRST: "the new label is on"},
    ClashKind.GIVEN: {
        Choice.FIRST: "only the first went out",
        Choice.LATER: "only the later did",
        Choice.BOTH: "both did, more than promised",
    },
    ClashKind.TWICE: {Choice.FIRST: "it was one", Choice.BOTH: "both count"},
    ClashKind.NIGHT: {Choice.FIRST: "the first answer holds", Choice.LATER: "the later one holds"},
}
"""What each key that is offered decides."""

ALONE = {Choice.FIRST: "it isn't counted", Choice.BOTH: "it counts"}
"""The same of an act that took more than there was, though the other copy only took something back."""

Acts = tuple[Act | None, Act | None]


def ends(what: ClashKind, acts: Acts) -> Mapping[Choice, str]:
    """What each key that is offered for two acts decides; no two of them the same."""
    return ALONE if what is ClashKind.MORE and acts[0] is None else ENDS[what]


def asks(what: ClashKind, acts: Acts) -> str:
    """What each key decides, in one row."""
    return ", ".join(f"{choice} {end}" for choice, end in ends(what, acts).items())


def decision(end: str, told: str) -> str:
    """The words of a decision, of what was told of the clash."""
    return f"{DECIDED}{end}: {told.partition(';')[0]}"


def decided(words: str) -> str:
    """What a decision came to, by its words."""
    return words.removeprefix(DECIDED).partition(":")[0]


def both_decided(lost: tuple[str, str], holds: tuple[str, str]) -> tuple[str, bool]:
    """What is said of two decisions of one clash, each by whom and in which words, and whether they differ."""
    (other, before), (who, words) = lost, holds
    end, _, told = words.removeprefix(DECIDED).partition(": ")
    was = decided(before)
    if was == end:
        return f"decided by both, {end}: {told}", False
    return f"{TWO_WAYS}: {told}; {who}'s, the later, holds: {end}; {other}'s was: {was}", True


@dataclass(frozen=True, slots=True)
class Teller:
    """Tells the clashes of one farm, whose places and trays are named by their ids."""

    places: Mapping[int, str]
    numbers: Mapping[int, int]
    zone: str

    def said(self, what: ClashKind, number: int, acts: Acts) -> str:
        """The whole clash in one sentence."""
        first, later = acts
        if what is ClashKind.NUMBER and first and later and later.new:
            return f"{what}: two trays {label(number)}, {self.newcomer(first, int(later.new))}"
        there = [act for act in acts if act]
        both = [
            self.did(act, with_day=act is there[0] or act.day != there[0].day, at=there[-1].tray_id)
            for act in there
        ]
        return f"{what}: {label(number)}, {', '.join(both)}; {self.counting(what, acts)}"

    def newcomer(self, made: Act, new: int) -> str:
        """Of two trays with one number the one that got another, by the act that made it."""
        return f"the one of {made.who} is {label(new)} now; write its label anew"

    def did(self, act: Act, *, with_day: bool = True, at: int | None = None) -> str:
        """One act: what, by whom, when; where it is of another tray than the one that is told of, also of which."""
        when = local_time(act.told_at or act.at, self.zone)
        if with_day:
            when = f"{say_day(act.day)} {when}"
        by = f"by {act.who} {when}"
        if act.kind is ActKind.MOVED:
            return f"{by} to {self._place(act)}"
        if act.kind is ActKind.CORRECTED:
            return f"{_change(act)} {by}"
        number = self.numbers.get(act.tray_id or 0)
        of = f" of {label(number)}" if number is not None and act.tray_id != at else ""
        return f"{_amount(act)}{of}{_whither(act)} {by}"

    def counting(self, what: ClashKind, acts: Acts) -> str:
        """What counts until somebody has decided."""
        _, later = acts
        match what:
            case ClashKind.MOVED if later:
                return f"counts: {self._place(later)}"
            case ClashKind.MORE if later:
                return f"not counted: {_amount(later)} by {later.who}"
            case ClashKind.CORRECTED if later:
                struck = next((act for act in acts if act and act.field == STRUCK), later)
                return f"counts: {_change(struck)}"
            case ClashKind.NIGHT if later:
                return f"counts: {later.kind}"
            case ClashKind.GIVEN | ClashKind.TWICE:
                return "both count"
            case ClashKind.GONE:
                return "counts: gone"
            case ClashKind.BACK:
                return "it stands meanwhile"
        return "nothing to count"

    def _place(self, act: Act) -> str:
        return self.places.get(act.place_id or 0, "another place")


def room(there: int, taken: int, *, alone: bool) -> str:
    """How many plants two acts share, or one needs alone, and where that leads."""
    both = "" if alone else " for both"
    if taken <= there:
        return f"{there} were there{both}: b counts {'it' if alone else 'both'}."
    return f"{there} were there, {taken - there} too few{both}: enter, then C corrects, k counts."


def _amount(act: Act) -> str:
    return f"{act.kind} {act.count}" if act.count is not None else str(act.kind)


def _whither(act: Act) -> str:
    """To whom plants went, into which bed, or what they were lost by."""
    text = cut(act.text or "", SAID_OF)
    match act.kind:
        case ActKind.HANDED_OVER if text:
            return f" to {text}"
        case ActKind.SET_OUT if text:
            return f" in {text}"
        case ActKind.LOST if act.cause:
            return f" ({act.cause})"
    return ""


def _change(act: Act) -> str:
    if act.field == STRUCK:
        return "struck"
    new = act.new or ""
    if act.field in ("day", "sown_on"):
        new = say_day(date.fromisoformat(new))
    return f"{(act.field or '').replace('_', ' ')} {new.replace('/', ' ')}".strip()
