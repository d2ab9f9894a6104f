"""Units at the edges: everything inside is °C and mL, people may type and read °F and US volumes."""

import re
from enum import StrEnum
from math import floor

from model.errors import BadInput

ML_PER_CUBIC_INCH = 16.387064
"""mL in a cubic inch, by definition of the inch (25.4 mm)."""
ML_PER_QUART = 946.352946
"""mL in a US liquid quart, by definition of the US gallon (231 cubic inches)."""
MM_PER_INCH = 25.4
MM_PER_CM = 10.0
POLE_DEG = 90.0
"""Latitude of the poles [°]."""
NOT_READ = frozenset({"-", "--", "?", "\N{EN DASH}"})
"""What stands for a low or a high that nobody read."""


class Temperature(StrEnum):
    """Which scale the farm reads."""

    CELSIUS = "°C"
    FAHRENHEIT = "°F"


class Measure(StrEnum):
    """Which volumes and lengths the farm reads."""

    METRIC = "metric"
    US = "US"


_TEMPERATURE = re.compile(r"([+-]?\d+(?:[.,]\d+)?)\s*°?\s*([cCfF]?)")
LITRES = {"l": 1.0, "ft3": 28.316846592, "gal": 3.785411784}
"""Litres of a litre, a cubic foot and a US gallon [L]."""
MOST_LITRES = 100_000.0
"""More mix than a store of this kind holds [L]. Ours."""
BAG_L = (1.0, 10_000.0)
"""Least and most that a bag or bale of mix holds [L]. Ours."""
_MIX = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*(l|ft3|gal)?")
MOST_OFFSET_C = 15.0
"""Most by which a hollow is taken to be colder than a station, or a slope warmer [°C]. Ours."""
HARDEN_DAYS = (3, 21)
"""Fewest and most days of hardening that a farm may set [d] (University of California, Santa Cruz, unit 1.4)."""
RISK_PERCENT = (1, 50)
"""Least and most chance of too cold a night that a farm may take [%]. Ours; a low told at the line itself is 50."""
LABEL_DAYS, LABEL_HOURS = (0, 120), (0, 240)
"""Days until plants may be cut or handed over [d], and hours until anyone handles them [h], as a label can have them;
beyond it is a slip of the finger. Ours."""
_APART = re.compile(r"[\s/;]+")
_UNIT_BEHIND = re.compile(r"(?<=\d)\s*°?\s*([cCfF])(?![A-Za-z])")
_LENGTH = re.compile(r"(\d+(?:[.,]\d+)?)\s*(mm|cm|inches|inch|in|\"|)", re.IGNORECASE)
_LATITUDE = re.compile(r"([+-]?)(\d+(?:[.,]\d+)?)\s*°?\s*([nNsS]?)")
_VOLUME = re.compile(r"(\d+(?:[.,]\d+)?)\s*(ml|cc|l|in[3³]|cu ?in|qt|)", re.IGNORECASE)

PLACES = 6
"""Decimals to which temperatures are alike; a mean of three readings has an error of reckoning behind them."""

COLDEST_C, HOTTEST_C = -40.0, 60.0
"""Air and mix temperatures outside these are slips of the finger [°C]. Common practice, no source."""
COOLEST_LIKELY_C, WARMEST_LIKELY_C = -5.0, 45.0
"""Outside these the other scale was likely meant [°C]: places for seedlings. Common practice, no source."""
WARMEST_NIGHT_C = 24.0
"""A night warmer than this was likely typed in the other scale [°C]: 25 to 45 are frosty and cool nights in °F. Ours."""


def celsius(fahrenheit: float) -> float:
    """Degrees Celsius from degrees Fahrenheit."""
    return (fahrenheit - 32) / 1.8


def fahrenheit(celsius: float) -> float:
    """Degrees Fahrenheit from degrees Celsius."""
    return celsius * 1.8 + 32


def in_celsius(value: float, scale: Temperature) -> float:
    """Degrees Celsius of a value in a scale."""
    return _degrees_c(value, scale[-1])


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


def parse_low_high(text: str, scale: Temperature) -> tuple[float | None, float | None]:
    """Low and high [°C] from one line, the low first; `-` stands for one that wasn't read."""
    words = _APART.split(_UNIT_BEHIND.sub(r"\1", text.strip()))
    if not text.strip() or set(words) <= NOT_READ:
        raise BadInput("Nothing was read.", "Type the low, the high or both, or leave with Esc.")
    if len(words) != 2:
        raise BadInput(
            f"{text.strip()!r} is not a low and a high.",
            "Type both, the low first, like 4 17; for one alone 4 - or - 17.",
        )
    low, high = (None if word in NOT_READ else parse_temperature(word, scale) for word in words)
    if low is not None and high is not None and low > high:
        raise BadInput("The low is above the high.", "Type the night's low first.")
    return low, high


def parse_lows(text: str, scale: Temperature) -> list[float]:
    """Lows [°C] of one night after the other, tonight's first; a bare number too warm for a night is asked about."""
    words = _APART.split(_UNIT_BEHIND.sub(r"\1", text.strip())) if text.strip() else []
    if not words:
        raise BadInput("Nothing was told.", "Type tonight's low, or several, tonight first.")
    lows = [parse_temperature(word, scale) for word in words]
    for word, low in zip(words, lows, strict=True):
        if low > WARMEST_NIGHT_C and not word[-1].isalpha():
            other = "f" if scale is Temperature.CELSIUS else "c"
            likely = _degrees_c(float(word.replace(",", ".")), other.upper()) <= WARMEST_NIGHT_C
            meant = f"{word}{other}, or " if likely else ""
            raise BadInput(
                f"{word} {scale} is unlikely for a night.",
                f"Type {meant}{word}{scale[-1].lower()} if it is so.",
            )
    return lows


def parse_offset(text: str) -> float:
    """How much colder it is here than at the forecast's station [°C]; "3f" is a difference in °F."""
    match = _TEMPERATURE.fullmatch(text.strip())
    if match is None:
        raise BadInput(f"{text.strip()!r} is no difference in degrees.", "Type a number, like 2, 2c or 3f.")
    value = float(match[1].replace(",", "."))
    degrees = value / 1.8 if match[2].upper() == "F" else value
    if not -MOST_OFFSET_C <= degrees <= MOST_OFFSET_C:
        raise BadInput(
            f"{degrees:.0f} °C colder than the station can't be.", f"Give up to {MOST_OFFSET_C:g} °C."
        )
    return round(degrees, 2)


def parse_harden_days(text: str) -> int:
    """Days of hardening that a farm wants [d]."""
    return _whole_between(text, "days", *HARDEN_DAYS)


def parse_risk(text: str) -> int:
    """Chance of too cold a night that is taken at the gate [%]."""
    return _whole_between(text.replace("%", ""), "%", *RISK_PERCENT)


def _whole_between(text: str, unit: str, least: int, most: int) -> int:
    bare = text.strip()
    if not (
        bare.isascii() and bare.isdecimal() and len(bare) < len(str(most)) + 2 and least <= int(bare) <= most
    ):
        raise BadInput(f"{bare!r} {unit} can't be.", f"Give a whole number from {least} to {most}.")
    return int(bare)


def show_temperature(degrees_c: float, scale: Temperature) -> str:
    """Temperature in whole degrees with its unit."""
    value = fahrenheit(degrees_c) if scale is Temperature.FAHRENHEIT else degrees_c
    return f"{round(value)} {scale}"


def show_difference(degrees_c: float, scale: Temperature) -> str:
    """A difference of temperatures with its unit: of 2 °C, "2 °C" or "3.6 °F"."""
    value = degrees_c * 1.8 if scale is Temperature.FAHRENHEIT else degrees_c
    return f"{round(value, 1):g} {scale}"


def show_offset(colder_c: float, scale: Temperature) -> str:
    """How much colder or warmer it gets here than at the forecast's station."""
    return f"{show_difference(abs(colder_c), scale)} {'colder' if colder_c > 0 else 'warmer'} here"


def show_beside(degrees_c: float, line_c: float, scale: Temperature) -> tuple[str, str]:
    """A temperature and the line it is held against, in whole degrees; within one degree of it in tenths.

    What misses its line never reads like the line itself.
    """
    value, line = (
        round(fahrenheit(degrees) if scale is Temperature.FAHRENHEIT else degrees, PLACES)
        for degrees in (degrees_c, line_c)
    )
    if abs(value - line) >= 1:
        return f"{round(value)} {scale}", f"{round(line)} {scale}"
    for digits in range(1, PLACES):
        ten = 10**digits
        shown, beside = (
            floor(value * ten) / ten if value < line else round(value, digits),
            round(line, digits),
        )
        if value >= line or shown < beside:
            break
    return f"{shown:g} {scale}", f"{beside:g} {scale}"


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


def parse_litres(text: str, measure: Measure) -> float:
    """Volume of mix [L]; a typed unit is obeyed, else a bare number is in litres or, for a US farm, cubic feet."""
    match = _MIX.fullmatch(text.strip().lower())
    if match is None:
        raise BadInput(f"{text.strip()!r} is no volume.", "Type a number, like 60, 60l or 2ft3.")
    unit = match[2] or ("l" if measure is Measure.METRIC else "ft3")
    litres = float(match[1].replace(",", ".")) * LITRES[unit]
    if not 0.0 <= litres <= MOST_LITRES:
        raise BadInput(f"{litres:g} L can't be in a store.", f"Give up to {MOST_LITRES:g} L.")
    return round(litres, 3)


def parse_bag(text: str) -> float:
    """What a bag of mix holds [L]; a bare number is in litres, as bags are marked."""
    litres = parse_litres(text, Measure.METRIC)
    if not BAG_L[0] <= litres <= BAG_L[1]:
        raise BadInput(
            f"No bag holds {litres:g} L.", f"Give {BAG_L[0]:g} to {BAG_L[1]:g} L, as the bag has it."
        )
    return litres


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


def parse_length(text: str, measure: Measure) -> float:
    """A small length [mm] from what was typed; a bare number is mm, or inches on a US farm."""
    match = _LENGTH.fullmatch(text.strip())
    if match is None:
        raise BadInput(f"{text.strip()!r} is no length.", "Type a number, like 60, 6cm or 2.5in.")
    unit = match[2].lower() or ("in" if measure is Measure.US else "mm")
    factor = {"mm": 1.0, "cm": MM_PER_CM}.get(unit, MM_PER_INCH)
    return round(float(match[1].replace(",", ".")) * factor, 3)


def parse_latitude(text: str) -> float:
    """Latitude [°], south negative, from what was typed: 51.5, 51.5n, 33s or -33."""
    match = _LATITUDE.fullmatch(text.strip())
    if match is None or (match[1] and match[3]):
        raise BadInput(
            f"{text.strip()!r} is no latitude.", "Type degrees from the equator, like 51.5n, 33s or -33."
        )
    degrees = float(match[2].replace(",", "."))
    if degrees > POLE_DEG:
        raise BadInput(f"There is no latitude of {degrees:g}.", "Give degrees from the equator, 0 to 90.")
    return -degrees if match[1] == "-" or match[3] in {"s", "S"} else degrees


def show_latitude(degrees: float) -> str:
    """Latitude with its half of the earth: "51.5° N"."""
    return f"{abs(degrees):g}° {'S' if degrees < 0 else 'N'}"
