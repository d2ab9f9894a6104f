"""Published values and the one comparer: half of the last printed digit, wider only with a written reason."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Published:
    """One value somebody printed: where, from which inputs, and to which digit."""

    source: str
    place: str
    inputs: str
    printed: float
    last_digit: float
    """Worth of the last printed digit, in the unit of the value."""
    tolerance: float | None = None
    reason: str = ""
    """Why the tolerance is wider than half the last digit."""

    def __str__(self) -> str:
        return f"{self.inputs} ({self.source}, {self.place})"


def assert_published(case: Published, value: float) -> None:
    """Fail unless the value rounds to what was printed, or lies within a tolerance that gives its reason."""
    half = case.last_digit / 2.0
    tolerance = half if case.tolerance is None else case.tolerance
    assert tolerance <= half or case.reason, f"{case}: a tolerance of {tolerance} needs a reason"
    off = abs(value - case.printed)
    assert off <= tolerance * (1.0 + 1e-9), f"{case}: printed {case.printed}, got {value}, off by {off:.3g}"
