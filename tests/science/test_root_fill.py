"""Root fill: worked figures, independent trials, and the limits."""

import math

import pytest

from model.crops import load_crops
from model.errors import BadInput
from model.facts import Crop
from model.science.root_fill import (
    CUTS,
    capacity_log,
    chance_of_look,
    degree_days_to,
    fill,
    fill_logit,
    logit,
    logit_after_pot_up,
    mass_mg,
    plant_band_growth,
)
from model.science.thermal import degree_days
from tests.science.published import Published, assert_published

OWN = "own code"
TOMATO_RATE = 0.0227
TOMATO_CAPACITY = capacity_log(43.0, 2.1)
DEGREE_DAYS_AT_18 = 10.0


def grown(key: str, volume_ml: float, days: float, temp_c: float) -> float:
    """Root fill some days after half up at a constant temperature."""
    crop = load_crops()[key]
    warmth = days * degree_days(temp_c, temp_c, crop.base_c, crop.cap_c)
    return fill(fill_logit(warmth, crop.growth_rate, capacity_log(volume_ml, crop.start_mass_mg)))


def weeks_to_hold(crop: Crop, volume_ml: float, temp_c: float) -> float:
    """Weeks from half up until the plug holds together, at a constant temperature."""
    capacity = capacity_log(volume_ml, crop.start_mass_mg)
    warmth = degree_days(temp_c, temp_c, crop.base_c, crop.cap_c)
    return degree_days_to(CUTS[1], crop.growth_rate, capacity) / warmth / 7.0


def test_the_cuts_are_the_logits_of_the_stages():
    for cut, printed in zip(CUTS, (-2.197, -0.847, 0.847, 2.197), strict=True):
        assert_published(Published(OWN, "logit of 0.10, 0.30, 0.70, 0.90", "cut point", printed, 0.001), cut)


def test_a_tomato_in_a_seventy_two_fills_on_the_printed_days():
    assert_published(Published(OWN, "worked figure", "L, V 43, W0 2.1", 6.0126, 0.0001), TOMATO_CAPACITY)
    for cut, printed in ((-0.847, 22.76), (0.847, 30.22), (2.197, 36.17)):
        days = degree_days_to(cut, TOMATO_RATE, TOMATO_CAPACITY) / DEGREE_DAYS_AT_18
        assert_published(Published(OWN, "worked figure", f"days at 18 °C to {cut}", printed, 0.01), days)
    warmth = degree_days_to(-0.847, TOMATO_RATE, TOMATO_CAPACITY)
    assert_published(Published(OWN, "worked figure", "degree-days to ready", 227.6, 0.1), warmth)


@pytest.mark.parametrize(
    ("at", "printed"),
    [(0.0, (0.0008, 0.1123, 0.7737, 0.1123, 0.0008)), (-0.847, (0.0269, 0.4731, 0.4922, 0.0078, 0.0000))],
)
def test_looks_come_with_the_printed_chances(at: float, printed: tuple[float, ...]):
    for score, chance in enumerate(printed):
        case = Published(
            OWN,
            "worked figure",
            f"chance of {score} at {at}",
            chance,
            0.0001,
            tolerance=0.00025,
            reason="printed from cuts rounded to three decimals: 0.0003 of a cut moves a chance by 0.0002",
        )
        assert_published(case, chance_of_look(score, at))


def test_the_chances_of_the_five_looks_sum_to_one():
    for at in (-6.0, -0.3, 0.0, 1.7, 9.0):
        assert sum(chance_of_look(score, at) for score in range(5)) == pytest.approx(1.0, rel=1e-12)


def test_before_any_look_the_ready_day_has_the_printed_band():
    middle = degree_days_to(CUTS[1], TOMATO_RATE, TOMATO_CAPACITY) / DEGREE_DAYS_AT_18
    for share, printed in ((0.9, 14.4), (0.5, 22.5), (0.1, 35.3)):
        case = Published(
            OWN,
            "worked figure",
            f"day ready, growth at its {share:.0%} point",
            printed,
            0.1,
            tolerance=0.4,
            reason="printed with 40 temperature paths and whole days; here the temperature is held at 18 °C",
        )
        assert_published(case, middle / plant_band_growth(share))


def test_an_onion_in_open_ground_grows_as_the_book_prints():
    start = math.exp(-6.086) * 1000.0
    book = "Brewster, Onions and Other Vegetable Alliums"
    assert_published(Published(book, "equation 4.17", "mg as it comes up", 2.274, 0.001), start)
    boundless = 1e9
    grown_mg = mass_mg(fill_logit(300.0, 0.0111, capacity_log(boundless, start)), boundless)
    case = Published(
        book,
        "equation 4.17",
        "mg after 300 °C d",
        63.5,
        0.1,
        tolerance=0.06,
        reason="the rate is printed as 0.0111; its third digit alone moves the mass by 1.5 %",
    )
    assert_published(case, grown_mg)
    assert load_crops()["onion"].start_mass_mg == pytest.approx(start, abs=0.005)


def test_four_week_cole_crops_were_usable_in_the_smallest_and_the_largest_cell():
    # Dufault and Waters 1985, HortScience 20: 3.8 to 30.5 mL, all 4 weeks old; 6 days to come up at 20 °C
    # leave 22.
    small, large = grown("broccoli", 3.8, 22.0, 18.0), grown("broccoli", 30.5, 22.0, 18.0)
    assert_published(Published(OWN, "worked figure", "broccoli, 3.8 mL, 22 d at 18 °C", 0.81, 0.01), small)
    assert_published(Published(OWN, "worked figure", "broccoli, 30.5 mL, 22 d at 18 °C", 0.35, 0.01), large)
    holds, circling = fill(CUTS[1]), fill(CUTS[3])
    assert holds <= large < small < circling


def test_four_weeks_nearly_fill_a_tomato_cell():
    # Nishizawa and Saito 1998, J. Amer. Soc. Hort. Sci. 123: 37 mL nearly filled in 28 days.
    filled = grown("tomato", 37.0, 28.0, 20.0)
    assert_published(Published(OWN, "worked figure", "tomato, 37 mL, 28 d at 20 °C", 0.85, 0.01), filled)
    assert fill(CUTS[2]) < filled < fill(CUTS[3])


def test_twice_the_pot_gives_the_printed_gain_in_mass():
    at = degree_days_to(logit(0.60), TOMATO_RATE, TOMATO_CAPACITY)
    doubled = mass_mg(fill_logit(at, TOMATO_RATE, capacity_log(86.0, 2.1)), 86.0)
    gain = 100.0 * (doubled / mass_mg(logit(0.60), 43.0) - 1.0)
    case = Published(
        "Poorter et al. 2012, Functional Plant Biology 39",
        "abstract",
        "per cent more mass in twice the pot, 65 studies",
        43.0,
        1.0,
    )
    assert_published(case, gain)


@pytest.mark.parametrize(
    ("key", "small", "large"),
    [
        ("tomato", 3.0, 3.8),
        ("lettuce", 2.8, 3.4),
        ("cabbage", 2.9, 3.7),
        ("broccoli", 3.0, 3.8),
        ("pepper", 5.3, 6.9),
    ],
)
def test_weeks_until_a_plug_holds_at_18_degrees(key: str, small: float, large: float):
    crop = load_crops()[key]
    assert_published(
        Published(OWN, "worked figure", f"{key}, 30 mL", small, 0.1), weeks_to_hold(crop, 30.0, 18.0)
    )
    assert_published(
        Published(OWN, "worked figure", f"{key}, 100 mL", large, 0.1), weeks_to_hold(crop, 100.0, 18.0)
    )


def test_a_bigger_cell_adds_days_by_the_logarithm_of_its_volume():
    crop = load_crops()["tomato"]
    more = (weeks_to_hold(crop, 86.0, 18.0) - weeks_to_hold(crop, 43.0, 18.0)) * 7.0
    assert more == pytest.approx(math.log(2.0) / (crop.growth_rate * DEGREE_DAYS_AT_18), rel=0.01)


def test_plants_that_share_a_cell_fill_it_as_one_plant_of_their_mass():
    assert capacity_log(43.0, 2.1, 3) == pytest.approx(capacity_log(43.0, 6.3), rel=1e-12)
    assert mass_mg(0.0, 43.0, 4) == pytest.approx(mass_mg(0.0, 43.0) / 4, rel=1e-12)


def test_a_pot_up_keeps_the_mass_of_the_plants():
    before = logit(0.7)
    after = logit_after_pot_up(before, 43.0, 484.0)
    assert mass_mg(after, 484.0) == pytest.approx(mass_mg(before, 43.0), rel=1e-12)
    clump = logit_after_pot_up(before, 43.0, 484.0, 3)
    assert mass_mg(clump, 484.0, 3) == pytest.approx(mass_mg(before, 43.0, 3), rel=1e-12)
    # The closed form: y2 = -ln(kappa V2 / W - 1).
    assert after == pytest.approx(-math.log(20.0 * 484.0 / mass_mg(before, 43.0) - 1.0), rel=1e-12)


def test_plants_pricked_out_of_a_flat_each_get_their_own_cell():
    before = logit(0.1)
    after = logit_after_pot_up(before, 7420.0, 66.0, plants=400, plants_after=1)
    assert mass_mg(after, 66.0) == pytest.approx(mass_mg(before, 7420.0, 400), rel=1e-12)


def test_a_pot_that_is_too_small_is_full_at_once():
    assert logit_after_pot_up(logit(0.9), 484.0, 43.0) == math.inf
    assert fill(math.inf) == 1.0


def test_seedlings_too_big_for_the_cell_fill_it_as_they_come_up():
    assert capacity_log(1.0, 30.0) == -math.inf


def test_fill_and_its_logit_undo_each_other():
    for value in (-700.0, -5.0, 0.0, 0.3, 30.0):
        assert logit(fill(value)) == pytest.approx(value, rel=1e-3)
    assert (logit(0.0), logit(1.0)) == (-math.inf, math.inf)
    assert (fill(-math.inf), fill(0.0), fill(math.inf)) == (0.0, 0.5, 1.0)


def test_the_band_of_growth_is_the_root_of_crop_and_tray_spread():
    assert math.log(plant_band_growth(0.9)) / 1.2815515655 == pytest.approx(0.35, abs=0.0002)
    assert plant_band_growth(0.5) == pytest.approx(1.0, rel=1e-12)
    assert plant_band_growth(0.1) * plant_band_growth(0.9) == pytest.approx(1.0, rel=1e-12)


def test_what_is_not_a_number_comes_out_as_not_a_number():
    nan = math.nan
    answers = [
        fill(nan),
        logit(nan),
        *(capacity_log(*values) for values in ((nan, 2.1, 1), (43.0, nan, 1), (43.0, 2.1, nan))),
        *(fill_logit(*values) for values in ((nan, 0.02, 6.0), (100.0, nan, 6.0), (100.0, 0.02, nan))),
        *(degree_days_to(*values) for values in ((nan, 0.02, 6.0), (0.0, nan, 6.0), (0.0, 0.02, nan))),
        *(mass_mg(*values) for values in ((nan, 43.0), (0.0, nan), (0.0, 43.0, nan))),
        *(
            logit_after_pot_up(*values)
            for values in ((nan, 43.0, 484.0), (0.0, nan, 484.0), (0.0, 43.0, nan))
        ),
        plant_band_growth(nan),
        chance_of_look(2, nan),
    ]
    assert all(map(math.isnan, answers))


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: capacity_log(0.0, 2.1),
        lambda: capacity_log(43.0, -2.1),
        lambda: capacity_log(43.0, 2.1, 0),
        lambda: mass_mg(0.0, 0.0),
        lambda: logit_after_pot_up(0.0, 43.0, 0.0),
        lambda: degree_days_to(0.0, 0.0, 6.0),
        lambda: logit(1.2),
        lambda: plant_band_growth(1.0),
        lambda: chance_of_look(5, 0.0),
    ],
)
def test_what_cannot_be_is_refused(wrong):
    with pytest.raises(BadInput):
        wrong()
