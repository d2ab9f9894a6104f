"""Facts for tests: each builder makes one ordinary thing, changed as asked."""

import math
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from model.facts import (
    Bottom,
    Container,
    ContainerKind,
    Crop,
    Place,
    PlaceKind,
    Sowing,
    Stay,
    Tray,
    Treated,
    Vessel,
)

TODAY = date(2026, 4, 14)
"""Tuesday 14 April 2026, the day on which every test stands."""


def day(offset: int) -> date:
    """So many days from today; days gone by are negative."""
    return TODAY + timedelta(days=offset)


def a_place(**changes: Any) -> Place:
    """A bench on slats, 12 to 20 °C, with room for twenty trays."""
    usual = Place(id=3, name="slats", kind=PlaceKind.SLATTED_BENCH, walk=3, slots=20, low_c=12.0, high_c=20.0)
    return replace(usual, **changes)


def a_container(**changes: Any) -> Container:
    """A 72-cell tray of 43 mL cells with open bottoms."""
    usual = Container(
        id=6,
        name="72-cell tray",
        kind=ContainerKind.CELL_TRAY,
        cells=72,
        volume_ml=43.0,
        bottom=Bottom.OPEN,
        source="invented for tests",
    )
    return replace(usual, **changes)


def a_crop(**changes: Any) -> Crop:
    """A tender crop with round figures: up in 6 days at 25 °C, grows above 8 °C, likes the mat."""
    usual = Crop(
        key="testcrop",
        name="test crop",
        family="Testaceae",
        emergence_days=(math.inf, math.inf, 40.0, 14.0, 8.0, 6.0, 6.0, 9.0, math.inf),
        emergence_from="",
        emergence_quality="invented for tests",
        spread=0.2,
        base_c=8.0,
        cap_c=28.0,
        growth_rate=0.02,
        start_mass_mg=2.0,
        growth_quality="invented for tests",
        weeks=(5.0, 6.0),
        harden_days=7,
        frost_class="tender",
        stretches_fast=False,
        hot_mat=True,
        doubles_wanted=False,
        pots_up=False,
        cut_again=False,
        min_germination=0.75,
        seeds_per_gram=400.0,
        depth_mm=6.0,
    )
    return replace(usual, **changes)


def a_sowing(**changes: Any) -> Sowing:
    """72 cells of one seed each, sown 30 days ago, not up yet."""
    usual = Sowing(
        id=1,
        part=1,
        crop="testcrop",
        variety="Ostrel",
        lot="A1",
        treated=Treated.NO,
        cells=72,
        seeds_per_cell=1,
        sown_on=day(-30),
    )
    return replace(usual, **changes)


def a_tray(**changes: Any) -> Tray:
    """Tray 1 with one sowing, standing where it was sown 30 days ago; nobody has been at it.

    Where only the sowings are given, the tray is as old as the oldest of them.
    """
    sowings = changes.pop("sowings", (a_sowing(),))
    made_on = changes.pop("made_on", min(sowing.sown_on for sowing in sowings))
    usual = Tray(
        id=1,
        number=1,
        made_on=made_on,
        parent_id=None,
        children=(),
        sowings=sowings,
        stays=(Stay(a_place().id, made_on),),
        vessels=(Vessel(a_container().id, made_on),),
    )
    return replace(usual, **changes)
