"""Simulated seasons: what the forecast of the ready day is worth, in a world that holds things it doesn't know.

python -m tests.bench.seasons [growers]      prints the tables; seeded, so the same every time.

The truth grows as the model does (logistic in warmth), so this tests the learning and not the biology. What the
program isn't told: light that changes from day to day, a thermometer and a tray that are off, a wrong day of
half up, a cell that isn't quite its size, a looker with a leaning, a place whose usual warmth is misjudged.
"""

import sys
from dataclasses import dataclass, replace

import numpy as np

from model.crops import load_crops
from model.science.growth_learning import (
    LOG_GROWTH,
    crop_growth,
    fill_logits,
    gather,
    look_evidence,
    tray_growth,
)
from model.science.outlook import (
    CARRY_OVER,
    WEATHER_SD,
    chance_by_day,
    daily_warmth,
    day_quantiles,
    temperature_paths,
    warmth_needed,
)
from model.science.root_fill import CUTS, capacity_log

CROPS = ("tomato", "lettuce", "cabbage", "broccoli", "cauliflower", "kale", "pak_choi", "onion", "leek")
HOLDS, CIRCLING = CUTS[1], CUTS[3]
SHARES = (0.1, 0.5, 0.9)
DAYS, UP, HORIZON = 210, 4, 120
"""Days simulated, the day half are up, and how far a forecast runs."""
HALF_SWING = 4.0
LOOKS, FIRST_LOOK, LOOK_EVERY = 3, 0.6, 4
WITHIN = 7


@dataclass(frozen=True)
class World:
    """Standard deviations of what the program isn't told, and of what it is told differently."""

    light: float = 0.15
    thermometer: float = 0.7
    reads_high_c: float = 0.0
    tray_c: float = 0.4
    half_up_d: float = 1.0
    volume: float = 0.08
    leaning: float = 0.25
    look: float = 0.5
    usual_c: float = 0.5
    crop: float = 0.30
    tray: float = 0.12
    dim_days: int = 0
    dim_light: float = 0.5
    elsewhere: bool = False
    """Past trays stood in other cells and seasons than the one asked about."""


@dataclass(frozen=True)
class Trays:
    """What happened to some trays, a row each, and what their grower wrote down."""

    grower: np.ndarray
    rate: np.ndarray
    start_mg: np.ndarray
    volume: np.ndarray
    base: np.ndarray
    cap: np.ndarray
    logits: np.ndarray
    """The true logit of fill each midnight."""
    read_c: np.ndarray
    """Daily mean on the thermometer."""
    usual_c: np.ndarray
    """What the grower takes for the mean of an ordinary day."""
    up: np.ndarray
    """Day on which half were written down as up."""
    plain_age: np.ndarray
    """Days from half up to ready in a usual season with growth as on paper."""
    look_days: np.ndarray
    scores: np.ndarray

    def warmth(self) -> np.ndarray:
        """Degree-days by the thermometer since the first day, each midnight."""
        return summed(warmth_of(self.read_c, self.base, self.cap))

    def ready(self) -> np.ndarray:
        """The true moment of holding together [d]."""
        after = np.argmax(self.logits >= HOLDS, axis=1)
        rows = np.arange(len(after))
        low, high = self.logits[rows, after - 1], self.logits[rows, after]
        return after - 1 + (HOLDS - low) / (high - low)


def warmth_of(mean_c: np.ndarray, base: np.ndarray, cap: np.ndarray) -> np.ndarray:
    """Degree-days of each day; base and cap differ by row."""
    out = np.empty_like(mean_c)
    for pair in set(zip(base, cap, strict=True)):
        mine = (base == pair[0]) & (cap == pair[1])
        out[mine] = daily_warmth(mean_c[mine] - HALF_SWING, mean_c[mine] + HALF_SWING, *pair)
    return out


def summed(daily: np.ndarray) -> np.ndarray:
    return np.concatenate([np.zeros((len(daily), 1)), np.cumsum(daily, axis=1)], axis=1)


def weather(rows: int, chance: np.random.Generator) -> np.ndarray:
    """Departures from the usual day that carry over [°C]."""
    news = WEATHER_SD.value * chance.standard_normal((rows, DAYS))
    keep = CARRY_OVER.value
    for day in range(1, DAYS):
        news[:, day] = keep * news[:, day - 1] + np.sqrt(1.0 - keep**2) * news[:, day]
    return news


def light_of(rows: int, trays_each: int, world: World, chance: np.random.Generator) -> np.ndarray:
    """Multiplier on each day's growth: nothing before they are up, dull weeks for the tray asked about only."""
    light = np.maximum(0.0, 1.0 + world.light * chance.standard_normal((rows, DAYS)))
    light[trays_each - 1 :: trays_each, UP + 3 : UP + 3 + world.dim_days] *= world.dim_light
    light[:, :UP] = 0.0
    return light


def grow(growers: int, trays_each: int, world: World, chance: np.random.Generator) -> Trays:
    """Trays of growers, each with one crop, one cell and one place; the last tray of each is the one asked about."""
    crops = [load_crops()[key] for key in CROPS]
    kind = chance.integers(0, len(crops), growers)
    pace, leaning = (
        world.crop * chance.standard_normal(growers),
        world.leaning * chance.standard_normal(growers),
    )
    off = world.reads_high_c + world.thermometer * chance.standard_normal(growers)
    misjudged = world.usual_c * chance.standard_normal(growers)

    whose = np.repeat(np.arange(growers), trays_each)
    rows = whose.size
    drawn = np.arange(rows) if world.elsewhere else whose
    volume = np.exp(chance.uniform(np.log(11.0), np.log(106.0), rows))[drawn]
    season_c = chance.uniform(13.5, 19.5, rows)[drawn]
    rate, start, base, cap = (
        np.array([getattr(crop, name) for crop in crops])[kind][whose]
        for name in ("growth_rate", "start_mass_mg", "base_c", "cap_c")
    )
    usual = np.repeat(season_c[:, None], DAYS, axis=1)
    air = usual + weather(rows, chance)
    light = light_of(rows, trays_each, world, chance)
    at_tray = air + world.tray_c * chance.standard_normal((rows, 1))
    growth = np.exp(pace[whose] + world.tray * chance.standard_normal(rows)) * rate
    room = np.log(20.0 * volume * np.exp(world.volume * chance.standard_normal(rows)) / start - 1.0)
    logits = summed(growth[:, None] * light * warmth_of(at_tray, base, cap)) - room[:, None]

    up = UP + np.clip(np.rint(world.half_up_d * chance.standard_normal(rows)), -UP, UP).astype(int)
    plain = np.array([capacity_log(v, w) for v, w in zip(volume, start, strict=True)]) + HOLDS
    plain /= rate * warmth_of(usual[:, :1], base, cap)[:, 0]
    days = up[:, None] + np.rint(FIRST_LOOK * plain[:, None] + LOOK_EVERY * np.arange(LOOKS)).astype(int)
    noise = leaning[whose, None] + world.look * chance.standard_normal(days.shape)
    seen = np.take_along_axis(logits, days, axis=1) + noise
    return Trays(
        whose, rate, start, volume, base, cap, logits, air + off[whose, None],
        season_c + (off + misjudged)[whose], up, plain, days, np.searchsorted(CUTS, seen),
    )  # fmt: skip


def evidence(trays: Trays, warmth: np.ndarray, looks: int) -> np.ndarray:
    """What the first looks at each tray teach."""
    rows = len(trays.up)
    if not looks:
        return np.zeros((rows, LOG_GROWTH.size))
    since = (
        np.take_along_axis(warmth, trays.look_days[:, :looks], axis=1)
        - warmth[np.arange(rows), trays.up, None]
    )
    each = np.repeat(np.arange(rows), looks)
    logits = fill_logits(
        np.maximum(since.reshape(-1, 1), 0.0),
        trays.volume[each, None],
        trays.start_mg[each],
        trays.rate[each],
    )
    return gather(look_evidence(trays.scores[:, :looks].ravel(), logits), each, rows)


@dataclass(frozen=True)
class Told:
    """Forecasts of one tray a grower, beside what came true."""

    days: np.ndarray
    """Ready at 10, 50 and 90 %."""
    ready: np.ndarray
    bound: np.ndarray
    """Chance that roots circle within a week."""
    was_bound: np.ndarray
    default_age: np.ndarray
    own_age: np.ndarray

    def cover(self) -> float:
        return float(np.mean((self.days[:, 0] <= self.ready) & (self.ready <= self.days[:, 2])))

    def error(self) -> float:
        return float(np.mean(abs(self.days[:, 1] - self.ready)))

    def late(self) -> float:
        return float(np.mean(self.days[:, 1] - self.ready))

    def width(self) -> float:
        return float(np.mean(self.days[:, 2] - self.days[:, 0]))

    def brier(self) -> float:
        return float(np.mean(np.square(self.bound - self.was_bound)))

    def brier_of_base_rate(self) -> float:
        rate = self.was_bound.mean()
        return float(rate * (1.0 - rate))


def forecasts(trays: Trays, past: int, looks: int) -> Told:
    """What the program says of the last tray of each grower on the day of its last look (half up: none)."""
    growers, rows = trays.grower[-1] + 1, np.arange(len(trays.up))
    asked = rows[past :: past + 1]
    before = np.setdiff1d(rows, asked)
    warmth, ready = trays.warmth(), trays.ready()
    crops = crop_growth(evidence(trays, warmth, LOOKS)[before], trays.grower[before], growers)
    weights = tray_growth(crops, evidence(trays, warmth, looks)[asked])
    fresh = fill_logits(
        np.zeros((growers, 1)), trays.volume[asked, None], trays.start_mg[asked], trays.rate[asked]
    )
    now = trays.look_days[asked, looks - 1] if looks else trays.up[asked]
    needs = [warmth_needed(target, fresh, trays.rate[asked]) for target in (HOLDS, CIRCLING)]
    days, bound = np.empty((growers, len(SHARES))), np.empty(growers)
    for one, row in enumerate(asked):
        recorded = trays.read_c[row, trays.up[row] : now[one]]
        mean = np.concatenate([recorded, np.full(HORIZON, trays.usual_c[row])])
        paths = temperature_paths(mean - HALF_SWING, mean + HALF_SWING, recorded.size)
        sums = summed(daily_warmth(*paths, trays.base[row], trays.cap[row]))
        both = chance_by_day([need[one] for need in needs], weights[[one, one]], sums)
        days[one] = day_quantiles(both[:1], SHARES)[0] + trays.up[row]
        bound[one] = both[1, recorded.size + WITHIN]
    # Not within the horizon is told as its end, for the mean errors only.
    days = np.minimum(days, (now + HORIZON)[:, None])
    ages = (
        np.bincount(trays.grower[before], (ready - trays.up)[before], growers) / past
        if past
        else np.full(growers, np.nan)
    )
    was_bound = trays.logits[asked, now + WITHIN] >= CIRCLING
    return Told(days, ready[asked], bound, was_bound, trays.plain_age[asked], ages)


def naive_errors(told: Told, trays: Trays, past: int) -> tuple[float, float]:
    """Mean errors of two rules of thumb: the age on paper at the place's warmth, and the mean of one's own ages."""
    age = told.ready - trays.up[past :: past + 1]
    return float(np.mean(abs(told.default_age - age))), float(np.mean(abs(told.own_age - age)))


def reliability(told: Told) -> list[tuple[float, float, int]]:
    """Mean chance told, share that came true, and trays, in five classes of chance."""
    which = np.minimum((told.bound * 5).astype(int), 4)
    return [
        (float(told.bound[mine].mean()), float(told.was_bound[mine].mean()), int(mine.sum()))
        for mine in (which == k for k in range(5))
        if mine.any()
    ]


def season(growers: int, past: int, world: World = World(), seed: int = 5) -> Trays:
    return grow(growers, past + 1, world, np.random.default_rng([seed, past]))


def row(name: str, growers: int, past: int, world: World) -> None:
    trays = season(growers, past, world)
    told = [forecasts(trays, past, looks) for looks in range(LOOKS + 1)]
    fixed, own = naive_errors(told[0], trays, past)
    cells = (f"{one.cover():6.1%} {one.error():4.1f} {one.late():+4.1f} {one.width():4.0f}" for one in told)
    print(f"{name:<28} {fixed:5.1f} {own:5.1f} | " + " | ".join(cells))
    last = told[-1]
    rows = ", ".join(f"{said:.2f} -> {came:.2f} ({n})" for said, came, n in reliability(last))
    print(
        f"{'':<28} root-bound in {WITHIN} d: Brier {last.brier():.3f}, base rate {last.brier_of_base_rate():.3f}; {rows}"
    )


def main(growers: int) -> None:
    ages = (lambda trays: trays.ready() - trays.up)(season(growers, 0))
    print(f"{growers} growers; ready at {ages.mean():.0f} d, SD {ages.std():.0f} d")
    print(
        "past trays; errors of rules A, B [d] | cover of the 80 % band, error, bias, width [d] with 0 | 1 | 2 | 3 looks"
    )
    plain = World()
    for past in (0, 3, 6):
        row(f"{past} past trays", growers, past, plain)
    row("6, other cells and seasons", growers, 6, replace(plain, elsewhere=True))
    row("6, careless looker", growers, 6, replace(plain, look=0.9, leaning=0.5))
    row("0, thermometer 2 °C high", growers, 0, replace(plain, reads_high_c=2.0))
    row("6, thermometer 2 °C high", growers, 6, replace(plain, reads_high_c=2.0))
    row("6, fortnight at half light", growers, 6, replace(plain, dim_days=14))
    row("0, crop spread 0.45", growers, 0, replace(plain, crop=0.45))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1500)
