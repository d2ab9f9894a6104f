"""Units at the edges: everything inside is °C and mL, people may type and read °F and US volumes."""

import re
from enum import StrEnum

from model.errors import BadInput

ML_PER_CUBIC_INCH = 16.387064
"""mL in a cubic inch, by definition of the inch (25.4 mm)."""
ML_PER_QUART = 946.352946
"""mL in a US liquid quart, by definition of the US gallon (231 cubic inches)."""
MM_PER_INCH = 25.4


class Temperature(StrEnum):
    """Which scale the farm reads."""

    CELSIUS = "°C"
    FAHRENHEIT = "°F"


class Measure(StrEnum):
    """Which volumes and lengths the farm reads."""

    METRIC = "metric"
    US = "US"


_TEMPERATURE = re.compile(r"([+-]?\d+(?:[.,]\d+)?)\s*°?\s*([cCfF]?)")
_VOLUME = re.compile(r"(\d+(?:[.,]\d+)?)\s*(ml|cc|l|in[3³]|cu ?in|qt|)", re.IGNORECASE)

COLDEST_C, HOTTEST_C = -40.0, 60.0
"""Air and mix temperatures outside these are slips of the finger [°C]. Common practice, no source."""
COOLEST_LIKELY_C, WARMEST_LIKELY_C = -5.0, 45.0
"""Outside these the other scale was likely meant [°C]: places for seedlings. Common practice, no source."""


def celsius(fahrenheit: float) -> float:
    """Degrees Celsius from degrees Fahrenheit."""
    return (fahrenheit - 32) / 1.8


def fahrenheit(celsius: float) -> float:
    """Degrees Fahrenheit from degrees Celsius."""
    return celsius * 1.8 + 32


def parse_temperature(text: str, scale: Temperature) -> float:
    """Temperature [°C] from what was typed; a typed unit is obeyed, else the farm's scale holds.

    A bare number that is unlikely in the farm's scale, and likely in the other one, is asked about.
    """
    match = _TEMPERATURE.fullmatch(text.strip())
    if match is None:
        raise BadInput(f"{text.strip()!r} is no temperature.", "Type a number, like 15, 15c or 59f.")
    value = float(match[1].replace(",", "."))
    unit = match[2].upper() or scale[-1]
    other = "C" if unit == "F" else "F"
    degrees = _degrees_c(value, unit)
    meant = f"Did you mean {value:g} °{other}? Then type {value:g}{other.lower()}"
    meant_other = not _likely(degrees) and _likely(_degrees_c(value, other))
    if not COLDEST_C <= degrees <= HOTTEST_C:
        raise BadInput(
            f"{value:g} °{unit} is outside what a place for plants can have.",
            f"{meant}." if meant_other else "Type it once more, with c or f behind it.",
        )
    if meant_other and not match[2]:
        raise BadInput(f"{value:g} °{unit} is unlikely.", f"{meant}, else {value:g}{unit.lower()}.")
    return degrees


def _degrees_c(value: float, unit: str) -> float:
    # Rounded, so that 26.6 °F and -3 °C are one value on record.
    return round(celsius(value), 9) if unit == "F" else value


def _likely(degrees_c: float) -> bool:
    return COOLEST_LIKELY_C <= degrees_c <= WARMEST_LIKELY_C


def show_temperature(degrees_c: float, scale: Temperature) -> str:
    """Temperature in whole degrees with its unit."""
    value = fahrenheit(degrees_c) if scale is Temperature.FAHRENHEIT else degrees_c
    return f"{round(value)} {scale}"


def parse_volume(text: str, measure: Measure) -> float:
    """Volume [mL] from what was typed; a bare number is mL, or cubic inches on a US farm."""
    match = _VOLUME.fullmatch(text.strip())
    if match is None or float(match[1].replace(",", ".")) <= 0:
        raise BadInput(f"{text.strip()!r} is no volume.", "Type a number, like 43, 43ml, 2.6in3 or 1l.")
    unit = match[2].lower().replace(" ", "").replace("³", "3")
    if not unit:
        unit = "in3" if measure is Measure.US else "ml"
    factors = {"ml": 1.0, "cc": 1.0, "l": 1000.0, "in3": ML_PER_CUBIC_INCH, "cuin": ML_PER_CUBIC_INCH}
    return float(match[1].replace(",", ".")) * factors.get(unit, ML_PER_QUART)


def show_volume(millilitres: float, measure: Measure) -> str:
    """Volume with its unit, in the size a grower would say it."""
    if measure is Measure.US:
        if millilitres >= ML_PER_QUART:
            return f"{millilitres / ML_PER_QUART:.1f} qt"
        return f"{millilitres / ML_PER_CUBIC_INCH:.1f} in³"
    return f"{millilitres / 1000:.1f} L" if millilitres >= 1000 else f"{millilitres:.0f} mL"


def show_depth(millimetres: float, measure: Measure) -> str:
    """Sowing depth with its unit, to the nearest eighth of an inch or millimetre."""
    if measure is Measure.US:
        return f"{round(millimetres / MM_PER_INCH * 8) / 8:g} in"
    return f"{millimetres:.0f} mm"
