"""The lines of a crop out of doors: how warm the soil, how mild the night must be."""

from collections.abc import Mapping
from dataclasses import dataclass

from model.facts import Figure


@dataclass(frozen=True, slots=True)
class CropLines:
    """Lines of one crop [°C], each with its source."""

    soil: tuple[Figure, ...]
    """Soil at planting depth, one a service, the lowest first; empty where no source gives one."""
    setout_night: Figure
    """Lowest night that hardened plants stand in the ground."""
    night_out: Figure
    """Lowest night on which plants that still harden stay outside."""

    @property
    def soil_line(self) -> Figure | None:
        """The line that counts: the highest, since soil that is too cold costs more than some days of waiting."""
        return self.soil[-1] if self.soil else None


Lines = Mapping[str, CropLines]
