"""The gate: twenty cases worked by hand, and what it says of each condition."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from model.ahead import NightTold
from model.crops.lines import lines_of, load_lines
from model.rules.gate import Condition, Gate, GateWord, OpenAir, Outdoors, Ripe, gate, opens_on, why_lines
from model.units import Temperature, parse_temperature
from tests.builders import TODAY

GO, WAIT, UNKNOWN = GateWord.GO, GateWord.WAIT, GateWord.UNKNOWN
RIPE = Ripe(True, "roots 2 seen Sun 12 Apr", None, 7, 7, True)
LETS_GO = datetime(2026, 4, 17, 7, 10, tzinfo=UTC)
SPRAYED = replace(RIPE, touch_from=LETS_GO)
ISSUED = datetime(2026, 4, 14, 5, 0, tzinfo=UTC)


def soil(*degrees: float, newest: int = 0) -> tuple[tuple[date, float], ...]:
    """Readings of mornings one after the other, the newest some days old."""
    days = [TODAY - timedelta(days=newest + back) for back in reversed(range(len(degrees)))]
    return tuple(zip(days, degrees, strict=True))


def nights(*lows: float, age_h: float = 2) -> tuple[NightTold, ...]:
    return tuple(NightTold(TODAY + timedelta(days=i), low, ISSUED, age_h) for i, low in enumerate(lows))


WARM_SOIL, MILD = soil(17, 18, 18), nights(9, 10, 10, 11, 12)
COOL_SOIL, COOL = soil(8, 8, 9), nights(3, 2, 3, 4, 4)


def said(crop: str = "tomato", ripe: Ripe = RIPE, ground=WARM_SOIL, ahead=MILD, **out: object) -> Gate:
    return gate(ripe, lines_of(crop), Outdoors(ground, ahead, **out), TODAY)  # type: ignore[arg-type]


def condition(found: Gate, name: str) -> Condition:
    return next(one for one in found.conditions if one.name == name)


CASES = [
    ("everything holds", said(), GO, ()),
    ("kale in a cool week", said("kale", ground=COOL_SOIL, ahead=COOL), GO, ()),
    ("lettuce in a cool week", said("lettuce", ground=COOL_SOIL, ahead=COOL), GO, ()),
    ("roots don't hold", said(ripe=replace(RIPE, holds=False)), WAIT, ("roots",)),
    ("hardened for four days of seven", said(ripe=replace(RIPE, hardened=4)), WAIT, ("harden 3 d more",)),
    ("never less than three days", said(ripe=replace(RIPE, hardened=2, harden_days=1)), WAIT, ("harden 1 d more",)),
    ("three days where one was set", said(ripe=replace(RIPE, hardened=3, harden_days=1)), GO, ()),
    ("a label until Friday", said(ripe=SPRAYED), WAIT, ("don't touch until Fri 17 Apr 7:10, label",)),
    ("a label that let go an hour ago", said(ripe=SPRAYED, now=LETS_GO + timedelta(hours=1)), GO, ()),
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
    ("in quarantine it waits, whatever else holds", said(ripe=replace(RIPE, apart="Apart")), WAIT, ("in quarantine",)),
    ("a look of yesterday outranks what was reckoned since", said(ripe=replace(RIPE, holds=None)), UNKNOWN, ("roots: look again",)),
    ("a close night is GO, and wants a cover", said(ahead=nights(8, 12, 12, 12, 13)), GO, ()),
    ("chard without a soil line has no such condition", said("swiss_chard", ground=()), GO, ()),
    ("a tender crop without one takes that of its class", said("basil", ground=soil(12, 12, 12)), WAIT, ("soil 12 °C of 12.8 °C",)),
    ("and so does a crop nobody knows", said("sea_holly", ground=()), UNKNOWN, ("soil never read",)),
    ("which wants a warming trend too", said("sea_holly", ahead=nights(13, 13, 11, 9, 8)), WAIT, ("nights turn colder",)),
    ("a cover of 2 °C on nights of 6", said(ahead=nights(6, 8, 8, 8, 9), cover_c=2), GO, ()),
    ("half of nights under the line is too many for one of ten", said(risk=0.1), WAIT, ("low of 9 °C 14 Apr, 12 % under 7 °C",)),
    ("and few enough for one of three", said(risk=0.33), GO, ()),
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
    found = condition(said(ground=soil(12, 12, 12)), "soil")
    assert found.words == "soil 12 °C (12, 12, 12), line 16 °C Texas A&M (10 °C Colorado State)"
    assert found.source == (
        "16 °C Texas A&M, Texas A&M AgriLife, Soil Temperature and Spring Planting; "
        "10 °C Colorado State, Colorado State University Extension, C. Wilson"
    )
    # Lettuce: 35 °F by one service, 45 °F by another.
    found = condition(said("lettuce", ground=soil(4, 4, 4)), "soil")
    assert (found.holds, found.words) == (
        False,
        "soil 4 °C (4, 4, 4), line 7 °C Kansas (2 °C Colorado State)",
    )


def test_a_cover_is_credited_and_never_without_its_warning() -> None:
    found = said(ahead=nights(6, 8, 8, 8, 9), cover_c=2)
    assert found.word is GO
    assert found.given == "with its cover on"
    assert condition(found, "nights").words.endswith("(cover 2 °C, on a clear night perhaps nothing)")
    assert said(ahead=nights(12, 12, 12, 12, 12), cover_c=2).given == ""


def test_plants_in_a_bed_want_a_cover_on_the_nights_on_which_a_tray_comes_in() -> None:
    # Tonight's forecast is off by 1.5 °C: 1 °C lies 0.67 spreads above freezing, and 25 % of a normal lie beyond that.
    found = said("pak_choi", ahead=nights(1, 8, 8, 9, 9))
    assert (found.word, found.given) == (GO, "cover tonight")
    assert (
        condition(found, "nights").words
        == "lowest 1 °C of 5 nights, line 0 °C common practice; 25 % at worst"
    )
    assert said("pak_choi", ahead=nights(8, 8, 2, 9, 9)).given == "cover 16 Apr"
    assert said("pak_choi", ahead=nights(1, 1, 8, 9, 9)).given == "cover from tonight"
    assert said("pak_choi", ahead=nights(8, 8, 8, 9, 9)).given == ""


def test_where_no_soil_line_is_known_it_says_so() -> None:
    found = condition(said("swiss_chard", ground=()), "soil")
    assert (found.holds, found.words) == (True, "soil: no line known, not judged")


def test_differences_are_told_in_the_farms_scale_and_a_warmer_spot_isnt_called_colder() -> None:
    out = Outdoors(WARM_SOIL, MILD, offset_c=-1, cover_c=2, scale=Temperature.FAHRENHEIT)
    words = condition(gate(RIPE, lines_of("tomato"), out, TODAY), "nights").words
    assert words.endswith("(1.8 °F warmer here; cover 3.6 °F, on a clear night perhaps nothing)")


def test_a_farm_in_fahrenheit_is_told_in_fahrenheit() -> None:
    out = Outdoors(soil(11.1, 10.6, 11.7), nights(3, 3, 3, 3, 3), scale=Temperature.FAHRENHEIT)
    assert gate(RIPE, lines_of("tomato"), out, TODAY).lacks == (
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
        # A Kansas horticulture column; Colorado State University Extension, C. Wilson; the nights are common practice.
        ("lettuce", 45, 32),
        ("cabbage", 40, 28),
        # North Dakota State University Extension, D. Kinzler: warm-season crops.
        ("basil", 55, 45),
    ],
)
def test_lines_are_the_published_ones(crop: str, soil_f: float, night_f: float) -> None:
    lines = lines_of(crop)
    assert lines.soil_line is not None
    assert (lines.soil_line.degrees, lines.soil_line.scale) == (soil_f, Temperature.FAHRENHEIT)
    assert (lines.setout_night.degrees, lines.setout_night.scale) == (night_f, Temperature.FAHRENHEIT)


def test_a_crop_nobody_knows_is_taken_for_tender() -> None:
    assert lines_of("sea_holly") == load_lines()[""]
    assert lines_of("sea_holly").setout_night == lines_of("tomato").setout_night
    assert lines_of("sea_holly").tender


def read_f(*typed: str) -> tuple[tuple[date, float], ...]:
    """Soil as it was typed at a farm that reads °F."""
    return soil(*(parse_temperature(text, Temperature.FAHRENHEIT) for text in typed))


@pytest.mark.parametrize(
    ("typed", "lacks"),
    [
        (("60", "60", "60"), ()),
        (("59", "60", "61"), ()),
        (("60", "60", "59.9"), ("soil 59.9 °F of 60 °F",)),
        (("59", "60", "60"), ("soil 59.6 °F of 60 °F",)),
        (("59", "59", "59"), ("soil 59 °F of 60 °F",)),
    ],
)
def test_a_reading_of_the_line_itself_meets_it_and_one_just_under_it_never_reads_like_it(
    typed: tuple[str, ...], lacks: tuple[str, ...]
) -> None:
    out = Outdoors(read_f(*typed), nights(9, 10, 10, 11, 12), scale=Temperature.FAHRENHEIT)
    assert gate(RIPE, lines_of("tomato"), out, TODAY).lacks == lacks


def test_a_night_told_at_the_line_itself_keeps_it() -> None:
    told = nights(
        *(parse_temperature(text, Temperature.FAHRENHEIT) for text in ("45", "45", "45", "46", "47"))
    )
    assert said(ahead=told).word is GO
    just = nights(
        *(parse_temperature(text, Temperature.FAHRENHEIT) for text in ("44.9", "45", "45", "46", "47"))
    )
    assert said(ahead=just).lacks == ("low of 7.1 °C 14 Apr, line 7.2 °C",)


def test_a_cooler_spot_and_a_cover_that_make_up_for_it_leave_the_line_as_it_is() -> None:
    told = nights(*[parse_temperature("45", Temperature.FAHRENHEIT)] * 5)
    assert said(ahead=told, offset_c=2.0, cover_c=2.0).word is GO


def test_the_chance_taken_is_that_of_one_night_by_the_forecasts_own_spread() -> None:
    # Tonight's forecast is off by 1.5 °C: 9 °C lies 1.19 spreads above 45 °F, and 11.8 % of a normal lie beyond that.
    found = said(risk=0.1)
    assert found.soonest == found.mild_from
    assert condition(found, "nights").words == (
        "lowest 9 °C of 5 nights, 12 % under 7 °C Delaware (10 % taken)"
    )


def test_the_first_mild_day_follows_the_last_told_night_that_is_too_cold() -> None:
    assert said(ahead=nights(2, 10, 6, 8, 9)).mild_from == TODAY + timedelta(days=3)
    assert said(ahead=nights(8, 9)).mild_from == TODAY
    assert said(ahead=nights(8, 9, 8, 9, 8, 9, 3)).mild_from == TODAY + timedelta(days=7)
    assert said(ahead=nights(6, 6, 6, 6, 6), cover_c=2).mild_from == TODAY
    assert said(ahead=()).mild_from is None
    assert said(ahead=nights(2, 3, age_h=30)).mild_from is None


def test_a_soonest_day_beside_something_unknown_names_what_is_unknown() -> None:
    found = said(ripe=replace(RIPE, hardened=5), ground=())
    assert (found.soonest, found.unknown) == (TODAY + timedelta(days=2), ("soil",))
    assert said(ripe=replace(RIPE, hardened=5)).unknown == ()


def test_every_condition_names_who_gives_its_line() -> None:
    told = list(why_lines(said(ground=soil(12, 12, 12), ahead=nights(3, 3, 3, 3, 3))))
    assert told[0] == "NO: soil 12 °C (12, 12, 12), line 16 °C Texas A&M (10 °C Colorado State)"
    assert told[1] == "NO: lowest 3 °C of 5 nights, line 7 °C Delaware"


def air_told(ground=(), lows=()) -> OpenAir:  # type: ignore[no-untyped-def]
    return OpenAir(ground, {TODAY + timedelta(days=ahead): low for ahead, low in enumerate(lows)})


@pytest.mark.parametrize(
    ("crop", "ground", "lows", "ahead"),
    [
        ("tomato", (), (), None),
        ("tomato", soil(17, 18, 18), (9, 9, 9), None),
        # The last night under 45 °F is the third.
        ("tomato", (), (9, 9, 5, 9), 3),
        ("kale", (), (9, 9, 5, 9), None),
        # A mean of 9 °C, 60 °F is 15.56 °C: 6.56 °C at a degree a day, and at half of one where it doesn't warm.
        ("tomato", soil(8, 9, 10), (), 7),
        ("tomato", soil(9, 9, 9), (), 14),
        ("tomato", soil(9), (), 14),
        ("tomato", soil(9, 9, 9, newest=4), (), 10),
        ("tomato", soil(9, 9, 9, newest=15), (), None),
        ("pak_choi", soil(1, 1, 1), (), None),
    ],
)
def test_the_soonest_day_of_the_gate_by_soil_and_nights(crop, ground, lows, ahead) -> None:  # type: ignore[no-untyped-def]
    expected = None if ahead is None else TODAY + timedelta(days=ahead)
    assert opens_on(lines_of(crop), air_told(ground, lows), TODAY) == expected


def test_no_day_is_told_before_a_label_lets_go() -> None:
    assert said(ripe=SPRAYED).soonest == date(2026, 4, 17)
    assert said(ripe=replace(SPRAYED, hardened=6)).soonest == date(2026, 4, 17)
    assert said(ripe=replace(SPRAYED, hardened=1)).soonest == date(2026, 4, 20)
    east = said(ripe=replace(SPRAYED, touch_from=LETS_GO + timedelta(hours=10)), zone="Australia/Sydney")
    assert east.soonest == date(2026, 4, 18)


def test_on_the_day_itself_the_hour_decides() -> None:
    today = replace(RIPE, touch_from=datetime(2026, 4, 14, 19, 30, tzinfo=UTC))
    early = said(ripe=today, now=datetime(2026, 4, 14, 19, 29, tzinfo=UTC))
    assert (early.word, early.soonest) == (WAIT, TODAY)
    assert said(ripe=today, now=datetime(2026, 4, 14, 19, 30, tzinfo=UTC)).word is GO
