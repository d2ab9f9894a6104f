"""What is typed in either scale comes out as one stored value; what can't be is asked about."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.errors import BadInput
from model.units import (
    Measure,
    Temperature,
    celsius,
    fahrenheit,
    parse_latitude,
    parse_length,
    parse_low_high,
    parse_temperature,
    parse_volume,
    show_beside,
    show_depth,
    show_latitude,
    show_temperature,
    show_volume,
)

C, F = Temperature.CELSIUS, Temperature.FAHRENHEIT


@pytest.mark.parametrize("scale", [C, F])
def test_15c_and_59f_are_the_same_stored_value_on_every_farm(scale: Temperature) -> None:
    assert parse_temperature("15c", scale) == parse_temperature("59f", scale) == 15.0


@given(st.integers(-400, 600))
def test_a_tenth_of_a_degree_is_one_value_in_both_scales(tenths: int) -> None:
    # A tenth of a degree Celsius is 0.18 degrees Fahrenheit exactly.
    hundredths = tenths * 18 + 3200
    sign = "-" if hundredths < 0 else ""
    in_fahrenheit = f"{sign}{abs(hundredths) // 100}.{abs(hundredths) % 100:02d}f"
    assert parse_temperature(in_fahrenheit, C) == parse_temperature(f"{tenths / 10}c", F) == tenths / 10


@pytest.mark.parametrize(
    ("typed", "scale", "degrees"),
    [
        ("15", C, 15.0),
        ("59", F, 15.0),
        ("15 °C", F, 15.0),
        ("59 °F", C, 15.0),
        ("15C", F, 15.0),
        (" 21,5 ", C, 21.5),
        ("+4", C, 4.0),
        ("-3", C, -3.0),
        ("28", F, pytest.approx(-2.2222222)),
        ("15f", F, pytest.approx(-9.4444444)),
        ("50c", C, 50.0),
    ],
)
def test_a_typed_unit_is_obeyed_and_a_bare_number_is_the_farms(
    typed: str, scale: Temperature, degrees: float
) -> None:
    assert parse_temperature(typed, scale) == degrees


@pytest.mark.parametrize(
    ("typed", "scale", "question", "else_type"),
    [
        ("15", F, "Did you mean 15 °C? Then type 15c", "else 15f."),
        ("59", C, "Did you mean 59 °F? Then type 59f", "else 59c."),
        ("75", C, "Did you mean 75 °F? Then type 75f", ""),
        ("75c", F, "Did you mean 75 °F? Then type 75f", ""),
    ],
)
def test_a_value_that_is_likely_only_in_the_other_scale_is_asked_about(
    typed: str, scale: Temperature, question: str, else_type: str
) -> None:
    with pytest.raises(BadInput) as refusal:
        parse_temperature(typed, scale)
    assert question in refusal.value.what_to_do
    assert else_type in refusal.value.what_to_do


@pytest.mark.parametrize(("typed", "scale"), [("150", C), ("999f", C), ("-80", F), ("-41", C), ("141f", C)])
def test_a_value_that_no_place_has_is_refused_without_a_guess(typed: str, scale: Temperature) -> None:
    with pytest.raises(BadInput, match="outside what a place for plants can have") as refusal:
        parse_temperature(typed, scale)
    assert "Did you mean" not in refusal.value.what_to_do


@pytest.mark.parametrize("typed", ["", "warm", "15k", "15 c f", "1e1", "--3", "15c."])
def test_what_is_no_temperature_is_refused(typed: str) -> None:
    with pytest.raises(BadInput, match="is no temperature"):
        parse_temperature(typed, C)


def test_the_scales_meet_where_they_are_known_to() -> None:
    assert (celsius(32.0), celsius(212.0), celsius(-40.0)) == (0.0, 100.0, -40.0)
    assert (fahrenheit(0.0), fahrenheit(100.0), fahrenheit(-40.0)) == (32.0, 212.0, -40.0)


def test_a_temperature_is_shown_in_whole_degrees_of_the_farms_scale() -> None:
    assert show_temperature(15.0, C) == "15 °C"
    assert show_temperature(15.0, F) == "59 °F"
    assert show_temperature(-0.4, C) == "0 °C"


@pytest.mark.parametrize(
    ("degrees_c", "line_c", "scale", "shown"),
    [
        (celsius(60), celsius(60), F, ("60 °F", "60 °F")),
        (celsius(59.5), celsius(60), F, ("59.5 °F", "60 °F")),
        (celsius(59.98), celsius(60), F, ("59.9 °F", "60 °F")),
        (celsius(59), celsius(60), F, ("59 °F", "60 °F")),
        (15.5, celsius(60), C, ("15.5 °C", "15.6 °C")),
        (7.21, celsius(45), C, ("7.21 °C", "7.22 °C")),
        (-0.02, 0.0, C, ("-0.1 °C", "0 °C")),
        (0.02, 0.0, C, ("0 °C", "0 °C")),
        (12.0, celsius(60), C, ("12 °C", "16 °C")),
    ],
)
def test_a_temperature_beside_its_line_is_told_finer_the_nearer_it_is(
    degrees_c: float, line_c: float, scale: Temperature, shown: tuple[str, str]
) -> None:
    assert show_beside(degrees_c, line_c, scale) == shown


@given(st.floats(-20, 30), st.floats(1e-4, 3), st.sampled_from([C, F]))
def test_what_misses_its_line_is_never_shown_as_reaching_it(
    line_c: float, short_c: float, scale: Temperature
) -> None:
    value, line = (float(text.split()[0]) for text in show_beside(line_c - short_c, line_c, scale))
    assert value < line


@given(st.integers(-5, 45), st.sampled_from([C, F]))
def test_a_shown_temperature_can_be_typed_again(degrees: int, scale: Temperature) -> None:
    shown = show_temperature(float(degrees), scale)
    assert show_temperature(parse_temperature(shown, scale), scale) == shown


@pytest.mark.parametrize(
    ("typed", "measure", "millilitres"),
    [
        ("43", Measure.METRIC, 43.0),
        ("43ml", Measure.US, 43.0),
        ("43 cc", Measure.US, 43.0),
        ("1l", Measure.US, 1000.0),
        ("0,5 L", Measure.METRIC, 500.0),
        ("2.6", Measure.US, pytest.approx(2.6 * 16.387064)),
        ("2.6in3", Measure.METRIC, pytest.approx(2.6 * 16.387064)),
        ("2.6 in³", Measure.METRIC, pytest.approx(2.6 * 16.387064)),
        ("2.6 cu in", Measure.METRIC, pytest.approx(2.6 * 16.387064)),
        ("2.6 CUIN", Measure.METRIC, pytest.approx(2.6 * 16.387064)),
        ("1 qt", Measure.METRIC, pytest.approx(946.352946)),
    ],
)
def test_a_volume_is_read_in_every_unit_that_is_offered(
    typed: str, measure: Measure, millilitres: float
) -> None:
    assert parse_volume(typed, measure) == millilitres


@pytest.mark.parametrize("typed", ["", "0", "0 ml", "-3", "much", "3 gal", "1e3", "ml"])
def test_what_is_no_volume_is_refused(typed: str) -> None:
    with pytest.raises(BadInput, match="is no volume"):
        parse_volume(typed, Measure.METRIC)


@pytest.mark.parametrize(
    ("millilitres", "measure", "shown"),
    [
        (43.0, Measure.METRIC, "43 mL"),
        (999.0, Measure.METRIC, "999 mL"),
        (7420.0, Measure.METRIC, "7.4 L"),
        (43.0, Measure.US, "2.6 in³"),
        (7420.0, Measure.US, "7.8 qt"),
    ],
)
def test_a_volume_is_shown_as_a_grower_would_say_it(millilitres: float, measure: Measure, shown: str) -> None:
    assert show_volume(millilitres, measure) == shown
    assert show_volume(parse_volume(shown, measure), measure) == shown


@pytest.mark.parametrize(
    ("millimetres", "measure", "shown"),
    [
        (6.35, Measure.US, "0.25 in"),
        (25.4, Measure.US, "1 in"),
        (19.0, Measure.US, "0.75 in"),
        (6.35, Measure.METRIC, "6 mm"),
    ],
)
def test_a_depth_is_shown_to_the_eighth_of_an_inch_or_the_millimetre(
    millimetres: float, measure: Measure, shown: str
) -> None:
    assert show_depth(millimetres, measure) == shown


@pytest.mark.parametrize(
    ("typed", "scale", "low", "high"),
    [
        ("4 17", C, 4.0, 17.0),
        ("-3.5  12", C, -3.5, 12.0),
        ("4,5 17,5", C, 4.5, 17.5),
        ("4/17", C, 4.0, 17.0),
        ("4 c 17 °C", C, 4.0, 17.0),
        ("4°C / 63 f", C, 4.0, celsius(63)),
        ("39 63", F, celsius(39), celsius(63)),
        ("4 -", C, 4.0, None),
        ("- 17", C, None, 17.0),
        ("? 17", C, None, 17.0),
        ("7 7", C, 7.0, 7.0),
    ],
)
def test_a_low_and_a_high_are_read_from_one_line(
    typed: str, scale: Temperature, low: float | None, high: float | None
) -> None:
    found = parse_low_high(typed, scale)
    assert found == (
        low if low is None else pytest.approx(low),
        high if high is None else pytest.approx(high),
    )


@pytest.mark.parametrize(
    "typed", ["", " ", "-", "- -", "4", "4-17", "4 17 20", "17 4", "inf 4", "cold warm", "4 95"]
)
def test_what_is_no_low_and_high_is_refused(typed: str) -> None:
    with pytest.raises(BadInput):
        parse_low_high(typed, C)


@pytest.mark.parametrize(
    ("typed", "degrees", "shown"),
    [
        ("51.5", 51.5, "51.5° N"),
        ("51,5N", 51.5, "51.5° N"),
        ("33s", -33.0, "33° S"),
        ("-33", -33.0, "33° S"),
        ("44 ° n", 44.0, "44° N"),
        ("0", 0.0, "0° N"),
        ("90s", -90.0, "90° S"),
    ],
)
def test_a_latitude_is_read_as_people_write_it(typed: str, degrees: float, shown: str) -> None:
    assert parse_latitude(typed) == degrees
    assert show_latitude(parse_latitude(typed)) == shown


@pytest.mark.parametrize("typed", ["", "200", "90.1", "-91", "-33s", "51 30 n", "north", "nan", "9" * 400])
def test_what_is_no_latitude_is_refused(typed: str) -> None:
    with pytest.raises(BadInput):
        parse_latitude(typed)


@pytest.mark.parametrize(
    ("typed", "measure", "millimetres"),
    [
        ("60", Measure.METRIC, 60.0),
        ("6cm", Measure.METRIC, 60.0),
        ("2,5 in", Measure.METRIC, 63.5),
        ("2.5", Measure.US, 63.5),
        ('3"', Measure.US, 76.2),
        ("60mm", Measure.US, 60.0),
    ],
)
def test_a_small_length_is_read_in_the_farms_measure_or_its_own(
    typed: str, measure: Measure, millimetres: float
) -> None:
    assert parse_length(typed, measure) == millimetres


@pytest.mark.parametrize("typed", ["", "-3", "wide", "6 ft", "nan"])
def test_what_is_no_length_is_refused(typed: str) -> None:
    with pytest.raises(BadInput, match="is no length"):
        parse_length(typed, Measure.METRIC)
