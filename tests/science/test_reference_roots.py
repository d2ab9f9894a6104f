"""Learning growth, against scipy's quadrature and against the ordered probit of statsmodels."""

import numpy as np
import pytest

from model.science.growth_learning import (
    class_chances,
    crop_growth,
    fill_logits,
    gather,
    growth_moments,
    look_evidence,
    tray_growth,
)
from model.science.root_fill import CROP_SD, CUTS, LOOK_SD, SCORES, TRAY_SD, capacity_log

integrate = pytest.importorskip("scipy.integrate", reason="needs the extra [reference]")
special = pytest.importorskip("scipy.special", reason="needs the extra [reference]")

TOMATO = (2.1, 0.0227)
CAPACITY = capacity_log(43.0, 2.1)
PAST = [[(110.0, 0), (150.0, 1), (190.0, 2)], [(130.0, 1), (170.0, 2), (210.0, 2)], [(160.0, 1), (240.0, 3)]]
NOW = [(140.0, 1), (180.0, 2)]
"""Looks: degree-days and score."""
EDGES = np.array([-np.inf, *CUTS, np.inf])
BOUND_AT = 300.0
FURTHEST = 2.4
"""Integrals run this far in ln m, 8 standard deviations of a crop, twice as far as the grid."""


def likelihood(growth: np.ndarray, looks: list[tuple[float, int]]) -> np.ndarray:
    """Chance of some looks at each growth, straight from the equations."""
    chance = np.ones_like(growth)
    for warmth, score in looks:
        logit = np.exp(growth) * TOMATO[1] * warmth - CAPACITY
        below, above = (special.ndtr((EDGES[score + step] - logit) / LOOK_SD.value) for step in (0, 1))
        chance = chance * (above - below)
    return chance


def normal(value: np.ndarray, sd: float) -> np.ndarray:
    return np.exp(-0.5 * (value / sd) ** 2)


def of_crop(part: np.ndarray, past: list) -> np.ndarray:
    """Density of a crop's part of ln m, up to a factor: each past tray's own part integrated out."""
    density = normal(part, CROP_SD.value)
    for looks in past:
        density = (
            density
            * integrate.quad_vec(
                lambda d, looks=looks: normal(d, TRAY_SD.value) * likelihood(part + d, looks), -1.44, 1.44
            )[0]
        )
    return density


def of_tray(growth: np.ndarray, past: list, looks: list) -> np.ndarray:
    """Density of a tray's ln m, up to a factor."""
    part = np.linspace(-FURTHEST, FURTHEST, 801)
    pairs = of_crop(part, past) * normal(growth[:, None] - part, TRAY_SD.value)
    return integrate.simpson(pairs, x=part, axis=1) * likelihood(growth, looks)


def evidence_of(trays: list) -> np.ndarray:
    rows = [(number, *look) for number, looks in enumerate(trays) for look in looks]
    owner, warmth, scores = np.array(rows).reshape(-1, 3).T
    logits = fill_logits(warmth[:, None], np.full((len(rows), 1), 43.0), *TOMATO)
    return gather(look_evidence(scores.astype(int), logits), owner.astype(int), len(trays))


@pytest.mark.parametrize(("past", "looks"), [([], NOW), (PAST, []), (PAST, NOW)])
def test_moments_and_chances_are_those_of_quadrature_to_a_thousandth(past, looks):
    edge = np.log((CAPACITY + CUTS[3]) / (TOMATO[1] * BOUND_AT))
    halves = [np.linspace(-FURTHEST, edge, 401), np.linspace(edge, FURTHEST, 401)]
    sums = [
        [integrate.simpson(of_tray(at, past, looks) * at**power, x=at) for power in (0, 1, 2)]
        for at in halves
    ]
    total, first, second = np.sum(sums, axis=0)
    weights = tray_growth(crop_growth(evidence_of(past), [0] * len(past), 1), evidence_of([looks]))
    mean, sd = growth_moments(weights)
    assert mean[0] == pytest.approx(first / total, abs=1e-3)
    assert sd[0] == pytest.approx(np.sqrt(second / total - (first / total) ** 2), abs=1e-3)
    logits = fill_logits([[BOUND_AT]], [[43.0]], *TOMATO)
    assert class_chances(weights, logits)[0, 4] == pytest.approx(sums[1][0] / total, abs=1e-3)


def test_cut_points_and_likelihood_are_those_of_another_ordered_probit():
    ordinal = pytest.importorskip(
        "statsmodels.miscmodels.ordinal_model", reason="needs the extra [reference]"
    )
    chance = np.random.default_rng(11)
    logits = chance.uniform(-4.0, 4.0, 4000)
    seen = np.searchsorted(CUTS, logits + LOOK_SD.value * chance.standard_normal(4000))
    model = ordinal.OrderedModel(seen, logits[:, None], distr="probit")
    # There the noise is 1 and the slope free: slope 1/σ, cuts c/σ, then the logarithms of their steps.
    ours = np.concatenate([[1.0, CUTS[0]], np.log(np.diff(CUTS) / LOOK_SD.value)])
    ours[:2] /= LOOK_SD.value
    same = look_evidence(seen, logits[:, None]).sum()
    assert model.loglike(ours) == pytest.approx(same, abs=1e-3 * abs(same))
    each = look_evidence(seen, logits[:, None])[:, 0]
    assert each == pytest.approx(model.loglikeobs(ours), abs=1e-3)
    fit = model.fit(method="bfgs", disp=False)
    cuts = model.transform_threshold_params(fit.params)[1:-1] / fit.params[0]
    # Four standard errors of a cut from 4000 scores.
    assert cuts == pytest.approx(CUTS, abs=4 * 0.03)
    assert 1.0 / fit.params[0] == pytest.approx(LOOK_SD.value, abs=4 * 0.012)
    assert 0.0 <= fit.llf - same < 12.0
    assert set(seen) == set(SCORES)
