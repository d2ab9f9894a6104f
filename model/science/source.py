"""A constant that carries its unit, where it comes from and how well it is known."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Sourced:
    """One number used in an equation. `float(constant)` gives the bare value."""

    value: float
    unit: str
    source: str
    quality: str

    def __float__(self) -> float:
        return self.value
