"""The gate: twenty cases worked by hand, and what it says of each condition."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from model.ahead import NightTold
from model.crops.lines import lines_of, load_lines
from model.rules.gate import Gate, GateWord, Outdoors, Ripe, gate
from model.units import Temperature
from tests.builders import TODAY

GO, WAIT, UNKNOWN = GateWord.GO, GateWord.WAIT, GateWord.UNKNOWN
RIPE = Ripe(True, "roots 2 seen Sun 12 Apr", None, 7, 7, True)
ISSUED = datetime(2026, 4, 14, 5, 0, tzinfo=UTC)


def soil(*degrees: float, newest: int = 0) -> tuple[tuple[date, float], ...]:
    """Readings of mornings one after the other, the newest some days old."""
    days = [TODAY - timedelta(days=newest + back) for back in reversed(range(len(degrees)))]
    return tuple(zip(days, degrees, strict=True))


def nights(*lows: float, age_h: float = 2) -> tuple[NightTold, ...]:
    return tuple(NightTold(TODAY + timedelta(days=i), low, ISSUED, age_h) for i, low in enumerate(lows))


WARM_SOIL, MILD = soil(17, 18, 18), nights(9, 10, 10, 11, 12)
COOL_SOIL, COOL = soil(8, 8, 9), nights(3, 2, 3, 4, 4)


def said(crop: str = "tomato", ripe: Ripe = RIPE, ground=WARM_SOIL, ahead=MILD, **out: float) -> Gate:
    tender = crop in {"tomato", "pepper", "cucumber", "sweet_corn"}
    return gate(ripe, lines_of(crop), Outdoors(ground, ahead, **out), tender, TODAY)  # type: ignore[arg-type]


CASES = [
    ("everything holds", said(), GO, ()),
    ("kale in a cool week", said("kale", ground=COOL_SOIL, ahead=COOL), GO, ()),
    ("lettuce in a cool week", said("lettuce", ground=COOL_SOIL, ahead=COOL), GO, ()),
    ("roots don't hold", said(ripe=replace(RIPE, holds=False)), WAIT, ("roots",)),
    ("hardened for four days of seven", said(ripe=replace(RIPE, hardened=4)), WAIT, ("3 d of hardening",)),
    ("never less than three days", said(ripe=replace(RIPE, hardened=2, harden_days=1)), WAIT, ("1 d of hardening",)),
    ("three days where one was set", said(ripe=replace(RIPE, hardened=3, harden_days=1)), GO, ()),
    ("cool soil for a tomato", said(ground=soil(11, 11, 11)), WAIT, ("soil 11 °C of 16 °C",)),
    ("soil read twice", said(ground=soil(17, 18)), UNKNOWN, ("soil: 1 more morning",)),
    ("soil never read", said(ground=()), UNKNOWN, ("soil never read",)),
    ("soil of four days ago", said(ground=soil(17, 18, 18, newest=4)), UNKNOWN, ("soil last read Fri 10 Apr",)),
    ("soil of three days ago", said(ground=soil(17, 18, 18, newest=3)), GO, ()),
    ("no forecast", said(ahead=()), UNKNOWN, ("forecast missing",)),
    ("a forecast of 25 hours", said(ahead=nights(9, 10, 10, 11, 12, age_h=25)), UNKNOWN, ("forecast 25 h old",)),
    ("tonight alone is told", said(ahead=nights(9)), UNKNOWN, ("forecast of 1 of 5 nights",)),
    ("tonight alone is told, and cold", said(ahead=nights(3)), WAIT, ("low of 3 °C 14 Apr, line 7 °C",)),
    ("one cold night of five", said(ahead=nights(9, 10, 5, 11, 12)), WAIT, ("low of 5 °C 16 Apr, line 7 °C",)),
    ("a hollow three degrees colder", said(ahead=nights(9, 10, 9, 11, 12), offset_c=3), WAIT, ("low of 6 °C 14 Apr, line 7 °C",)),
    ("nights turn colder", said(ahead=nights(13, 13, 11, 9, 8)), WAIT, ("nights turn colder",)),
    ("kale doesn't mind that", said("kale", ahead=nights(13, 13, 11, 9, 8)), GO, ()),
    (
        "cold and unread: it waits, and both are named",
        said(ground=(), ahead=nights(3, 9, 9, 9, 9)),
        WAIT,
        ("soil never read", "low of 3 °C 14 Apr, line 7 °C"),
    ),
    ("a crop without a soil line has no such condition", said("swiss_chard", ground=()), GO, ()),
]  # fmt: skip


@pytest.mark.parametrize(("case", "found", "word", "lacks"), CASES, ids=[case[0] for case in CASES])
def test_cases_worked_by_hand(case: str, found: Gate, word: GateWord, lacks: tuple[str, ...]) -> None:
    assert (found.word, found.lacks) == (word, lacks), case


def test_the_soonest_day_is_the_last_of_what_is_missing() -> None:
    found = said(ripe=replace(RIPE, hardened=5), ahead=nights(9, 3, 9, 9, 9))
    assert found.soonest == TODAY + timedelta(days=2)
    found = said(ripe=replace(RIPE, hardened=1), ahead=nights(9, 3, 9, 9, 9))
    assert found.soonest == TODAY + timedelta(days=6)


def test_soil_that_warms_tells_about_when_and_soil_that_does_not_tells_no_day() -> None:
    # 13, 14, 15 °C: a mean of 14, a line of 15.6 and a degree a day.
    assert said(ground=soil(13, 14, 15)).soonest == TODAY + timedelta(days=2)
    assert said(ground=soil(12, 12, 12)).soonest is None


def test_of_two_services_the_warmer_line_holds_and_both_are_named() -> None:
    (found,) = [c for c in said(ground=soil(12, 12, 12)).conditions if c.name == "soil"]
    assert found.words == "soil 12 °C, mean of 12, 12, 12; line 16 °C"
    assert found.source == (
        "10 °C: Colorado State University Extension, C. Wilson; "
        "16 °C: Texas A&M AgriLife, Soil Temperature and Spring Planting"
    )


def test_a_cover_is_credited_and_never_without_its_warning() -> None:
    found = said(ahead=nights(6, 8, 8, 8, 9), cover_c=2)
    assert found.word is GO
    (at_night,) = [c for c in found.conditions if c.name == "nights"]
    assert at_night.words.endswith("(cover 2 °C, on a clear night perhaps nothing)")


def test_a_farm_in_fahrenheit_is_told_in_fahrenheit() -> None:
    out = Outdoors(soil(11.1, 10.6, 11.7), nights(3, 3, 3, 3, 3), scale=Temperature.FAHRENHEIT)
    assert gate(RIPE, lines_of("tomato"), out, True, TODAY).lacks == (
        "soil 52 °F of 60 °F",
        "low of 37 °F 14 Apr, line 45 °F",
    )


@pytest.mark.parametrize(
    ("crop", "soil_f", "night_f"),
    [
        # Texas A&M AgriLife, Soil Temperature and Spring Planting; University of Delaware, Transplanting Time.
        ("tomato", 60, 45),
        ("pepper", 70, 45),
        ("muskmelon", 75, 45),
        ("sweet_corn", 65, 45),
        # Colorado State University Extension, C. Wilson; the nights are common practice, no source.
        ("lettuce", 35, 32),
        ("cabbage", 40, 28),
    ],
)
def test_lines_are_the_published_ones(crop: str, soil_f: float, night_f: float) -> None:
    lines = lines_of(crop)
    assert lines.soil_line is not None
    # Published in whole degrees Fahrenheit, kept in tenths of a degree Celsius.
    assert lines.soil_line.value * 1.8 + 32 == pytest.approx(soil_f, abs=0.1)
    assert lines.setout_night.value * 1.8 + 32 == pytest.approx(night_f, abs=0.1)


def test_a_crop_nobody_knows_is_taken_for_tender() -> None:
    assert lines_of("sea_holly") == load_lines()[""]
    assert lines_of("sea_holly").setout_night.value == lines_of("tomato").setout_night.value
