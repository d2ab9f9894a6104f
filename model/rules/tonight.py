"""What stands outside this evening, and whether it may: bring in, cover, or fine.

References:
    1. University of Maryland Extension, Hardening Vegetable Seedlings for the Home Garden: nothing tender out below
       45 °F, cucurbits out at night only above 50 °F.
    2. A non-profit's handout on hardening: hardy plants begin outside above 40 °F, half-hardy ones above 45 °F.
"""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from model.ahead import CropLines, NightTold
from model.facts import ActKind, PlaceKind
from model.rules.gate import FLOOR_DAYS
from model.rules.nights import OLD_FORECAST_H
from model.science.frost import FORECAST_DAYS, chance_of_night
from model.units import celsius

FEW_CHANCE = 0.1
"""Chance of a night under its line that a tray is left to [fraction]. Ours."""
FRAME_C = 2.0
"""By how much a shut frame is warmer at night than the open tables [°C]. Ours; a thermometer in it tells more."""
BEGIN_C = {"hardy": celsius(40), "half-hardy": celsius(45)}
"""Line while plants have had fewer than three days outside, by class: a handout on hardening [°C]."""
BEGIN_SOURCE = "a handout on hardening: 40 °F for hardy, 45 °F for half-hardy plants that begin"


class NightWord(StrEnum):
    """What is proposed for a tray that stands outside."""

    BRING_IN = "bring in"
    COVER = "cover"
    FINE = "fine"
    UNKNOWN = "not known"


ANSWER = {
    NightWord.BRING_IN: ActKind.BROUGHT_IN,
    NightWord.COVER: ActKind.COVERED,
    NightWord.FINE: ActKind.STAYED_OUT,
}
"""The act that carries a proposal out."""


@dataclass(frozen=True, slots=True)
class Outside:
    """What is asked of plants that stand outside."""

    lines: CropLines
    frost_class: str
    exposed: int
    """Days of real exposure so far [d]."""
    kind: PlaceKind


@dataclass(frozen=True, slots=True)
class NightCase:
    """What a night means for a tray."""

    word: NightWord
    line_c: float
    line_source: str
    low_c: float | None
    """Expected where the tray stands [°C]; None without a forecast."""
    chance: float | None
    """Chance that it falls under the line [fraction]."""
    covered_chance: float | None
    """The same under the cover at hand."""


def line_of(out: Outside) -> tuple[float, str]:
    """The line of a tray for a night outside [°C], and where it comes from."""
    if out.exposed < FLOOR_DAYS and out.frost_class in BEGIN_C:
        return BEGIN_C[out.frost_class], BEGIN_SOURCE
    return out.lines.night_out.celsius, out.lines.night_out.source


def night_case(
    out: Outside, night: NightTold | None, today: date, offset_c: float = 0.0, cover_c: float = 0.0
) -> NightCase:
    """What is proposed for a tray on a night: fine below one chance in ten to fall under its line, also covered.

    A missing forecast, one older than a day and one too far ahead tell nothing.
    """
    line, source = line_of(out)
    ahead = (night.night - today).days if night else 0
    if night is None or night.age_h > OLD_FORECAST_H or ahead > FORECAST_DAYS.value:
        return NightCase(NightWord.UNKNOWN, line, source, None, None, None)
    low = night.low_c - offset_c + (FRAME_C if out.kind is PlaceKind.COLD_FRAME else 0.0)
    chance = chance_of_night(low, line, ahead)
    covered = chance_of_night(low, line - cover_c, ahead) if cover_c else None
    if chance < FEW_CHANCE:
        word = NightWord.FINE
    elif covered is not None and covered < FEW_CHANCE:
        word = NightWord.COVER
    else:
        word = NightWord.BRING_IN
    return NightCase(word, line, source, low, chance, covered)
