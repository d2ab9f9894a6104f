"""The words that stand in place of a bar, where there is no root fill to draw."""

from dataclasses import replace
from math import nan

import pytest

from model.facts import Bottom, ContainerKind, Stay, Tray, Vessel
from model.views.lines import TrayLine
from model.views.round import BAR_WIDTH, Grounds, line_of
from tests.builders import TODAY, a_container, a_crop, a_place, a_sowing, a_tray, day

FLAT = a_container(
    id=7, name="open flat", kind=ContainerKind.OPEN_FLAT, cells=1, volume_ml=7420.0, bottom=Bottom.SOLID
)
ON = Grounds(
    places={3: a_place()},
    containers={6: a_container(), 7: FLAT},
    crops={
        "testcrop": a_crop(),
        "salad": a_crop(key="salad", name="salad", cut_again=True),
        "own": a_crop(key="own", name="own", emergence_days=(nan,) * 9, growth_rate=nan),
    },
)


def line(tray: Tray) -> TrayLine:
    found = line_of(tray, ON, TODAY)
    assert len(found.instead) <= BAR_WIDTH
    return found


def test_before_plants_are_up_the_stage_and_the_day_stand_there() -> None:
    assert line(a_tray(sowings=(a_sowing(sown_on=day(-4)),))).instead == "sown, day 4"


@pytest.mark.parametrize("crop", ["testcrop", "own"])
def test_after_first_up_the_stage_stands_there_until_half_is_up(crop: str) -> None:
    sowing = a_sowing(crop=crop, sown_on=day(-12), first_up=TODAY)
    assert line(a_tray(sowings=(sowing,))).instead == "first up d12"


def test_where_plants_grow_there_is_a_bar_and_no_words() -> None:
    sowing = a_sowing(sown_on=day(-30), first_up=day(-22), half_up=day(-20))
    found = line(a_tray(sowings=(sowing,)))
    assert found.instead == ""
    assert found.fill is not None
    assert found.fill.expected > 0


def test_of_a_crop_without_figures_the_fill_is_not_known() -> None:
    sowing = a_sowing(crop="own", sown_on=day(-30), first_up=day(-22), half_up=day(-20))
    found = line(a_tray(sowings=(sowing,)))
    assert (found.fill, found.instead) == (None, "not known")


def test_a_salad_flat_counts_its_cuts() -> None:
    sowing = a_sowing(crop="salad", sown_on=day(-40), first_up=day(-34), half_up=day(-33))
    flat = a_tray(sowings=(sowing,), stays=(Stay(3, day(-40)),), vessels=(Vessel(7, day(-40)),))
    assert line(flat).instead == "salad flat"
    cut = replace(flat, sowings=(replace(sowing, cuts=(day(-12), day(-1))),))
    assert line(cut).instead == "salad, cut 2"
