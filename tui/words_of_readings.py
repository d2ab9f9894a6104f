"""The readings page in words and columns."""

from datetime import date
from math import floor

from model.days import WEEKDAYS, ago, local_time, say_day
from model.facts import PlaceKind
from model.rules.lamps import BULLETIN_GAP_MM, BULLETIN_HOURS, PRACTICE_HOURS
from model.science.lamps import ENOUGH_LIGHT
from model.text import clean
from model.units import MM_PER_INCH, Measure, show_depth, show_latitude, show_temperature
from model.views.readings import LONG_UNREAD_DAYS, DayRead, Lamps, PlaceWeek, ReadingsPage
from tui.text import fit, fit_right
from tui.words import Signs

NAME, NAME_WIDE = 9, 18
CELL, LAST, ASSUMED = 6, 9, 7
WIDE = 100
MINUTES_AN_HOUR = 60
"""Minutes in an hour [min]."""


def week_rows(page: ReadingsPage, width: int, signs: Signs) -> list[str]:
    """One row a place: its days, the age of the last reading, and what is assumed today; as many days as fit."""
    if not page.places:
        return ["This farm has no place yet.   P adds one."]
    wide = width >= WIDE
    name = NAME_WIDE if wide else NAME
    days = max(1, min(len(page.week), (width - name - 2 - LAST - 1 - ASSUMED) // (CELL + 1)))
    head = " " * name + "".join(" " + fit_right(_head(day, page.on), CELL) for day in page.week[-days:])
    rows = [head if wide else f"{head}  {fit('last read', LAST)} {fit_right('assumed', ASSUMED)}"]
    for week in page.places:
        cells = "".join(" " + fit_right(_cell(day, page, signs), CELL) for day in week.days[-days:])
        told = _in_words(week, page) if wide else _in_columns(week, page)
        rows.append(f"{fit(clean(week.place.name), name, signs.more)}{cells}  {told}")
    return rows


def _last(week: PlaceWeek, page: ReadingsPage) -> str:
    """When the air was read last: "today", "12 d ago", "never"."""
    last = ago(week.last_on, page.on) if week.last_on else "never"
    return f"{last} ago" if last.endswith(" d") else last


def _in_columns(week: PlaceWeek, page: ReadingsPage) -> str:
    return f"{fit(_last(week, page), LAST)} {fit_right(_assumed(week, page), ASSUMED)}"


def _in_words(week: PlaceWeek, page: ReadingsPage) -> str:
    last, assumed = _last(week, page), _assumed(week, page)
    told = "never read" if week.last_on is None else f"last read {last}"
    return f"{told}: usual {assumed} assumed" if assumed else told


def _head(day: date, today: date) -> str:
    return "today" if day == today else f"{WEEKDAYS[day.weekday()]} {day.day}"


def _number(degrees_c: float | None, page: ReadingsPage, nothing: str) -> str:
    return nothing if degrees_c is None else show_temperature(degrees_c, page.scale).split()[0]


def _cell(day: DayRead, page: ReadingsPage, signs: Signs) -> str:
    if day.low_c is None and day.high_c is None:
        return f"{signs.dash} gap"
    return f"{_number(day.low_c, page, signs.dash)}/{_number(day.high_c, page, signs.dash)}"


def _assumed(week: PlaceWeek, page: ReadingsPage) -> str:
    """The usual of the place, for what wasn't read today."""
    today = week.days[-1]
    low, high = (_number(c, page, "") for c in (week.place.low_c, week.place.high_c))
    if today.low_c is None and today.high_c is None:
        return f"{low}/{high}"
    if today.whole:
        return ""
    return f"low {low}" if today.low_c is None else f"high {high}"


def told_lines(page: ReadingsPage, signs: Signs) -> list[str]:
    """What the gaps mean, the mats, the soil and the forecast."""
    lines = [f"{signs.dash} gap: not read, the usual of the place is assumed.   N takes a reading."]
    mats = [week for week in page.places if week.place.kind is PlaceKind.HEAT_MAT]
    unread = [
        clean(week.place.name) for week in page.places if week not in mats and week.unread_long(page.on)
    ]
    if unread:
        lines.append(f"not read for {LONG_UNREAD_DAYS} d or longer: {', '.join(unread)}.")
    soil = [_soil(week, page) for week in page.places if week not in mats and week.soil_on]
    lines += [_mat(week, page) for week in mats]
    lines.append(f"soil: {'; '.join(soil) or 'not known, nobody read it'}.")
    return [*lines, _tonight(page)]


def _soil(week: PlaceWeek, page: ReadingsPage) -> str:
    """The soil of a place as it was read last, with its age."""
    return f"{clean(week.place.name)} {_soil_read(week, page)}"


def _soil_read(week: PlaceWeek, page: ReadingsPage) -> str:
    if week.soil_c is None or week.soil_on is None:
        return "not known"
    age = ago(week.soil_on, page.on)
    return f"{show_temperature(week.soil_c, page.scale)}, {age if age == 'today' else f'{age} ago'}"


def _mat(week: PlaceWeek, page: ReadingsPage) -> str:
    told = f"{clean(week.place.name)} set to {show_temperature(week.place.low_c, page.scale)}, "
    if week.place.probe:
        return told + "its probe sits in the mix."
    if week.soil_on is None:
        return told + "no probe: the mix is not known, the set-point assumed."
    return f"{told}no probe; its mix was read, {_soil_read(week, page)}: that counts."


def _tonight(page: ReadingsPage) -> str:
    told = page.tonight
    if told is None:
        return "tonight: not known, no forecast on record."
    low = show_temperature(told.low_c, page.scale)
    if told.night != page.on:
        return f"tonight: not known; the last forecast, {low} for {say_day(told.night)}, is old."
    age = f"{floor(told.age_h)} h old" if told.age_h >= 1 else "less than 1 h old"
    hour = local_time(told.issued_at, page.zone)
    return f"tonight {low}, issued {hour}, {age}{': old, ask for a new one' if told.old else ''}."


def light_lines(page: ReadingsPage) -> list[str]:
    """Day length, the sun's light, the lamps beside what bulletins say, and what is to be checked."""
    return [*_daylight(page), *_lamps(page), *_checks(page)]


def _daylight(page: ReadingsPage) -> list[str]:
    light = page.daylight
    if light is None:
        return ["day length: not known.   S sets the latitude of the farm."]
    hours, minutes = divmod(round(light.hours * MINUTES_AN_HOUR), MINUTES_AN_HOUR)
    change = round(abs(light.longer_min))
    turn = f"{change} min {'longer' if light.longer_min > 0 else 'shorter'} than" if change else "as"
    return [
        f"day length {hours} h {minutes} min at {show_latitude(light.latitude)}, {turn} yesterday.",
        f"sun, average sky: about {light.glass:.0f} mol/m² a day under glass, {light.sill:.0f} on a sill (assumed).",
    ]


def _lamps(page: ReadingsPage) -> list[str]:
    lit = [(clean(week.place.name), week.lamps) for week in page.places if week.lamps is not None]
    lines = [f"{name} lamps: {_set(lamps, page)}" for name, lamps in lit]
    if lit:
        low, high = (mm if page.measure is Measure.METRIC else mm / MM_PER_INCH for mm in BULLETIN_GAP_MM)
        unit = "mm" if page.measure is Measure.METRIC else "in"
        lines.append(
            f"university bulletins: {BULLETIN_HOURS[0]}-{BULLETIN_HOURS[1]} h, {low:.0f}-{high:.0f} {unit} above leaves; "
            f"some do with {PRACTICE_HOURS} h."
        )
    return lines


def _set(lamps: Lamps, page: ReadingsPage) -> str:
    hours = "hours not known" if lamps.hours is None else f"{lamps.hours:g} h"
    gap = "not known" if lamps.gap_mm is None else show_depth(lamps.gap_mm, page.measure)
    if lamps.light is None:
        return f"{hours}, gap {gap}, light not known.   P sets them."
    return f"{hours}, gap {gap}, {lamps.light:.1f} mol/m² a day ({ENOUGH_LIGHT.value:g} assumed enough)."


def _checks(page: ReadingsPage) -> list[str]:
    lines = []
    over = [clean(week.place.name) for week in page.places if week.lamps is not None and week.trays]
    if over:
        when = "today" if page.lamp_check == page.on else say_day(page.lamp_check)
        lines.append(f"raise lamps? look at the gap {when}, every third day: {', '.join(over)}.")
    if page.clock_change is None:
        return [*lines, "timers: clocks don't change here; check them after a power cut."]
    way = "forward" if page.forward_h > 0 else "back"
    when = "today" if page.clock_change == page.on else say_day(page.clock_change)
    told = f"timers: clocks go {way} {abs(page.forward_h):g} h {when}; check then, and after a power cut."
    return [*lines, told]
