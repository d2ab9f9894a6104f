"""Two reference libraries, refet and pyet, on the same 200 seeded days and latitudes."""

import numpy as np
import pytest

from model.science.evapotranspiration import (
    WATER_OF_ENERGY,
    daylight_hours,
    extraterrestrial_radiation,
    psychrometric_constant,
    reference_evapotranspiration,
    saturation_pressure,
    saturation_slope,
)

DAYS = 200
DRAW = np.random.default_rng(56)
LATITUDE = DRAW.uniform(-66.0, 66.0, DAYS)
DAY = DRAW.integers(1, 366, DAYS).astype(float)
LOW = DRAW.uniform(-10.0, 22.0, DAYS)
HIGH = LOW + DRAW.uniform(0.5, 22.0, DAYS)
MEAN = (LOW + HIGH) / 2.0
ELEVATION = DRAW.uniform(0.0, 2500.0, DAYS)

PRINTED_SLOPE = 1e-4
"""Relative: refet uses 2503 and pyet 4098, rounded; here the slope is the exact derivative."""


def test_refet_gives_the_same_sun_pressure_and_slope():
    calcs = pytest.importorskip("refet", reason="needs the extra [reference]").calcs
    # Its latitude is in radians here, though in degrees in its class.
    sun = calcs.ra_daily(np.radians(LATITUDE), DAY, method="asce")
    assert np.allclose(extraterrestrial_radiation(LATITUDE, DAY), sun, rtol=0.0, atol=1e-9)
    assert np.allclose(saturation_pressure(MEAN), calcs.sat_vapor_pressure(MEAN), rtol=1e-12)
    assert np.allclose(saturation_slope(MEAN), calcs.es_slope(MEAN, method="asce"), rtol=PRINTED_SLOPE)
    gamma = 0.000665 * calcs.air_pressure(ELEVATION, method="asce")
    assert np.allclose(psychrometric_constant(ELEVATION), gamma, rtol=1e-12)


def test_pyet_gives_the_same_saturation_pressure_and_psychrometric_constant():
    meteo = pytest.importorskip("pyet", reason="needs the extra [reference]").meteo_utils
    assert np.allclose(saturation_pressure(MEAN), meteo.calc_e0(MEAN), rtol=1e-12)
    assert np.allclose(saturation_slope(MEAN), meteo.calc_vpc(MEAN), rtol=PRINTED_SLOPE)
    gamma = meteo.calc_psy(meteo.calc_press(ELEVATION))
    assert np.allclose(psychrometric_constant(ELEVATION), gamma, rtol=1e-12)


def test_pyet_gives_the_same_sun_daylight_and_hargreaves():
    pyet = pytest.importorskip("pyet", reason="needs the extra [reference]")
    pandas = pytest.importorskip("pandas", reason="needs the extra [reference]")
    for place in range(DAYS):
        index = pandas.DatetimeIndex([pandas.Timestamp(2023, 1, 1) + pandas.Timedelta(days=DAY[place] - 1.0)])
        radians = np.radians(LATITUDE[place])
        low, high, mean = (pandas.Series([each[place]], index=index) for each in (LOW, HIGH, MEAN))
        sun = extraterrestrial_radiation(LATITUDE[place], DAY[place])
        theirs = pyet.meteo_utils.extraterrestrial_r(index, radians).iloc[0]
        assert sun == pytest.approx(theirs, abs=1e-6)
        hours = pyet.meteo_utils.daylight_hours(index, radians)[0]
        assert daylight_hours(LATITUDE[place], DAY[place]) == pytest.approx(hours, abs=1e-9)
        # method=0 is FAO-56 equation 52; method=1 is another equation. The library lets the heat of
        # evaporation change with temperature, which moves the answer by up to 2.8 %; FAO-56 holds it still.
        water = pyet.hargreaves(mean, high, low, radians, method=0).iloc[0]
        heat = pyet.meteo_utils.calc_lambda(MEAN[place])
        ours = reference_evapotranspiration(LOW[place], HIGH[place], sun)
        assert ours == pytest.approx(water, rel=0.03, abs=1e-4)
        assert ours == pytest.approx(water * heat * WATER_OF_ENERGY.value, rel=1e-6, abs=1e-9)
