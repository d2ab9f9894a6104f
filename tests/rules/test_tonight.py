"""What a night outside means for a tray."""

from datetime import UTC, datetime

import pytest

from model.ahead import NightTold
from model.crops import load_crops
from model.crops.lines import lines_of
from model.facts import PlaceKind
from model.rules.tonight import NightCase, NightWord, Outside, night_case
from tests.builders import TODAY, day

BRING_IN, COVER, FINE, UNKNOWN = NightWord.BRING_IN, NightWord.COVER, NightWord.FINE, NightWord.UNKNOWN
ISSUED = datetime(2026, 4, 14, 12, 0, tzinfo=UTC)


def of(
    crop: str,
    low_c: float,
    exposed: int = 5,
    kind=PlaceKind.HARDENING,
    age_h: float = 3,
    ahead: int = 0,
    **help: float,
) -> NightCase:
    out = Outside(lines_of(crop), load_crops()[crop].frost_class, exposed, kind)
    return night_case(out, NightTold(day(ahead), low_c, ISSUED, age_h), TODAY, **help)


@pytest.mark.parametrize(
    ("crop", "low_c", "word"),
    [
        # University of Maryland Extension: tender plants not below 45 °F, cucurbits at night only above 50 °F.
        ("tomato", 4, BRING_IN),
        ("tomato", 8, BRING_IN),
        ("tomato", 10, FINE),
        ("cucumber", 10, BRING_IN),
        ("cucumber", 13, FINE),
        # Common practice, no source: half-hardy to freezing, hardy to 28 °F.
        ("lettuce", 3, FINE),
        ("lettuce", 1, BRING_IN),
        ("kale", 1, FINE),
        ("kale", -1, BRING_IN),
    ],
)
def test_a_tray_is_left_out_where_its_line_is_likely_held(crop: str, low_c: float, word: NightWord) -> None:
    assert of(crop, low_c).word is word


def test_plants_that_begin_have_a_higher_line() -> None:
    # The handout: 40 °F for hardy, 45 °F for half-hardy plants that begin.
    assert (of("kale", 1, exposed=2).word, of("kale", 1, exposed=3).word) == (BRING_IN, FINE)
    assert of("kale", 1, exposed=0).line_c == pytest.approx((40 - 32) / 1.8, abs=0.05)
    assert of("lettuce", 1, exposed=0).line_c == pytest.approx((45 - 32) / 1.8, abs=0.05)


def test_a_cover_helps_only_where_one_is_at_hand() -> None:
    assert of("lettuce", 1).word is BRING_IN
    found = of("lettuce", 1, cover_c=2)
    assert found.word is COVER
    assert found.covered_chance is not None
    assert found.chance is not None
    assert found.covered_chance < 0.1 < found.chance


def test_a_hollow_is_colder_and_a_shut_frame_is_milder() -> None:
    assert of("lettuce", 3, offset_c=3).word is BRING_IN
    assert of("lettuce", 1, kind=PlaceKind.COLD_FRAME).word is FINE


def test_without_a_fresh_forecast_nothing_is_proposed() -> None:
    assert of("kale", 8, age_h=25).word is UNKNOWN
    assert night_case(Outside(lines_of("kale"), "hardy", 5, PlaceKind.HARDENING), None, TODAY).word is UNKNOWN
    assert of("kale", 8, ahead=8).word is UNKNOWN


def test_a_night_further_ahead_is_less_sure() -> None:
    tonight, later = of("lettuce", 2.5), of("lettuce", 2.5, ahead=5)
    assert tonight.chance is not None
    assert later.chance is not None
    assert tonight.chance < later.chance
    assert (tonight.word, later.word) == (FINE, BRING_IN)
