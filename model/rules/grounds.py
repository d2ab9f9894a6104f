"""What every judgement stands on: the farm's places and containers, the crop file, and what was read there."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING

from model.ahead import CropLines
from model.facts import ActKind, Container, Crop, Place
from model.rules.gate import OpenAir
from model.units import Temperature

if TYPE_CHECKING:
    from model.rules.outlook import Outlooks

Weather = Mapping[int, Mapping[date, tuple[float, float]]]
"""Lows and highs that were read, by place and day [°C]; a day that isn't there was not read."""


@dataclass(frozen=True, slots=True)
class Grounds:
    """The grounds of a morning; temperatures in reasons are told in `scale`."""

    places: Mapping[int, Place]
    containers: Mapping[int, Container]
    crops: Mapping[str, Crop]
    scale: Temperature = Temperature.CELSIUS
    weather: Weather = field(default_factory=dict)
    outlooks: "Outlooks" = field(default_factory=dict)
    """Forecasts of root fill by sowing, where they were reckoned; elsewhere the crop file alone tells."""
    marks: Mapping[int, frozenset[date]] | None = None
    """Days on which somebody marked a tray as it stood, of trays that harden; None where nobody asked."""
    nights: Mapping[int, Mapping[date, frozenset[ActKind]]] = field(default_factory=dict)
    """What was answered for a tray's nights, and days it was kept in."""
    open_air: OpenAir = field(default_factory=OpenAir)
    """What was read of the ground and told of the nights."""
    lines: Mapping[str, CropLines] = field(default_factory=dict)
    """Lines out of doors by crop."""
    zone: str = "UTC"
    """The farm's clock, for hours in words."""
    latitude: float | None = None
    """Degrees north; None while nobody has said where the farm lies."""
