"""Cautions for the steps of the work, from `cautions.csv`: our words, whose word decides, and the source."""

from dataclasses import dataclass
from functools import cache

from model.crops.loader import DATA, read_rows

COLUMNS = ("key", "step", "words", "defers_to", "source")


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution, shown once a season at the first of its steps."""

    key: str
    step: str
    """The step of the work, or several with "; " between."""
    words: str
    defers_to: str
    source: str

    @property
    def steps(self) -> tuple[str, ...]:
        """The steps at which it is shown."""
        return tuple(self.step.split("; "))


@cache
def load_cautions() -> tuple[Caution, ...]:
    """Every caution, in file order."""
    return tuple(Caution(*row) for _, row in read_rows(DATA / "cautions.csv", COLUMNS))
