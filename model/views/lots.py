"""Seed lots: age, germination test with its honest limits, seeds a cell, the trade's minimum, and what failed."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from math import isfinite

from model.crops import crop_name, load_crops, unknown_crop, variety_name
from model.days import say_day
from model.facts import Treated
from model.rules.outlook import Outlooks
from model.rules.planning import Germination, seeds_advised
from model.rules.seeding import TEST_WITH, Packet, below_minimum, filled_words, seeds_for, spread_words
from model.science.quantities import SeedTest, germination_limits
from model.store import reading
from model.store.database import Store
from model.store.reading import LotRow
from model.store.reading_lots import failed_lots
from model.text import fit
from model.units import Temperature, show_temperature
from model.views.answer import Answer, AnswerLine

LAW = "US seed trade, 7 CFR 201.31"
MINIMUM = f"Minimum germination in {LAW}"
COLD_TEST = (
    "tested {}: pepper, eggplant, tomato and their like come up thin in the cold; 25 to 30 °C tells more"
)
WARM_TEST_C = 20.0
"""Below this a test of a crop that wants heat tells little [°C]. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class LotLine:
    """One lot."""

    lot_id: int
    crop: str
    variety: str
    name: str
    packed_year: int | None
    test: SeedTest | None
    tested_on: date | None
    tested_c: float | None
    treated: Treated
    source: str
    minimum: float | None
    """The trade's minimum for the crop [fraction]; None where the law names none."""
    seeds: int
    """Seeds a cell that are advised."""
    to_test: bool
    """Older than seed is kept without a test, and no test since."""
    failed: bool
    """Half of one of its sowings or more didn't come up."""
    below: bool
    """Tested below the trade's minimum."""


@dataclass(frozen=True, slots=True)
class LotsView:
    """Every lot."""

    on: date
    lots: tuple[LotLine, ...]
    scale: Temperature = Temperature.CELSIUS


def read(store: Store, today: date, now: datetime, outlooks: Outlooks | None = None) -> LotsView:
    """Every lot on a day. Neither the instant nor the forecast matters here."""
    with store.reading() as rows:
        names = {row.id: (row.crop, row.name) for row in reading.varieties(rows)}
        failed = failed_lots(rows)
        scale = Temperature(reading.settings(rows).get("temperature", Temperature.CELSIUS))
        lines = [_line_of(lot, *names[lot.variety_id], lot.id in failed, today) for lot in reading.lots(rows)]
    return LotsView(
        today,
        tuple(sorted(lines, key=_order)),
        scale,
    )


def _order(lot: LotLine) -> tuple[bool, bool, bool, str, str, str]:
    return not lot.failed, not lot.below, not lot.to_test, crop_name(lot.crop), lot.variety, lot.name


def _line_of(lot: LotRow, crop: str, variety: str, failed: bool, today: date) -> LotLine:
    known = load_crops().get(crop) or unknown_crop(crop)
    test = SeedTest(lot.tested_up or 0, lot.tested_seeds) if lot.tested_seeds else None
    packet = Packet(lot.name, lot.packed_year, test)
    seeds = seeds_for(known, test) if test else seeds_advised(known, Germination(None, known.min_germination))
    minimum = known.min_germination if isfinite(known.min_germination) else None
    tested_lately = lot.tested_on is not None and not Packet(lot.name, lot.tested_on.year, None).old(today)
    return LotLine(
        lot_id=lot.id,
        crop=crop,
        variety=variety,
        name=lot.name,
        packed_year=lot.packed_year,
        test=test,
        tested_on=lot.tested_on,
        tested_c=lot.tested_c,
        treated=lot.treated,
        source=lot.source,
        minimum=minimum,
        seeds=seeds,
        to_test=packet.old(today) and not tested_lately,
        failed=failed,
        below=test is not None and minimum is not None and below_minimum(test, minimum),
    )


def answer(view: LotsView) -> Answer:
    """What to test, what failed, then every lot."""
    return Answer(
        title="seed lots",
        answer=tuple(_answer(view)),
        lines=tuple(_line(lot, view) for lot in view.lots),
        heading=f"{'what':<22}{'lot':<10}{'packed':>6}{'test':>7}{'likely':>9}{'a cell':>7} {'seed'}",
        notes=(
            "8 of 10 in a test is anything from 44 to 97 %: test 20 to 50 seeds where it matters.",
            "G adds a lot, its test, or whether it is treated.",
        ),
    )


def _answer(view: LotsView) -> Iterator[str]:
    if not view.lots:
        yield "No seed lot is on record: G adds one."
        return
    failed, old = [lot for lot in view.lots if lot.failed], [lot for lot in view.lots if lot.to_test]
    below = [lot for lot in view.lots if lot.below]
    if failed:
        yield f"Use up or bin: {_some(failed)}."
    if below:
        yield f"Tested below the trade's minimum: {_some(below)}."
    if old:
        yield f"Test before sowing, {TEST_WITH}: {_some(old)}."
    if not failed and not below and not old:
        yield "No lot wants a test, none was tested below the trade's minimum, and none has failed."


def _some(lots: Sequence[LotLine]) -> str:
    named = [f"{variety_name(lot.crop, lot.variety)} {lot.name}" for lot in lots[:3]]
    return ", ".join(named) + (f" and {len(lots) - 3} more" if len(lots) > 3 else "")


def _line(lot: LotLine, view: LotsView) -> AnswerLine:
    test, likely = "-", "-"
    if lot.test:
        low, high = germination_limits(lot.test)
        test, likely = f"{lot.test.sprouted}/{lot.test.tested}", f"{100 * low:.0f}-{100 * high:.0f} %"
    worth = "failed" if lot.failed else "below" if lot.below else ""
    seed = "treated" if lot.treated is Treated.YES else "treated?" if lot.treated is Treated.UNKNOWN else ""
    text = (
        f"{fit(variety_name(lot.crop, lot.variety), 21)} {fit(lot.name, 9)} {lot.packed_year or '-':>6}"
        f"{test:>7}{likely:>9}{lot.seeds:>7} {' '.join(filter(None, (worth, seed)))}"
    )
    tone = "crowding" if worth else "cold" if lot.to_test else ""
    return AnswerLine(text.rstrip(), tuple(_why(lot, view))[:4], tone, lot.lot_id)


def _why(lot: LotLine, view: LotsView) -> Iterator[str]:
    if lot.failed:
        yield "Half of a sowing or more didn't come up: use it up thickly, or bin it."
    if lot.test:
        when = f", counted {say_day(lot.tested_on)}" if lot.tested_on else ""
        least = f". {MINIMUM}: {100 * lot.minimum:.0f} %" if lot.minimum else ""
        if lot.below and lot.minimum:
            least = f": below the minimum of {100 * lot.minimum:.0f} % ({LAW})"
        yield f"{spread_words(lot.test)} (exact 95 % limits){when}{least}."
        yield f"{filled_words(lot.test, lot.seeds)}."
    else:
        packed = f"Packed {lot.packed_year}, " if lot.packed_year else ""
        least = f" {MINIMUM}: {100 * lot.minimum:.0f} %." if lot.minimum else ""
        yield f"{packed}never tested: {TEST_WITH} tell something.{least}"
    if lot.tested_c is not None and lot.tested_c < WARM_TEST_C and _wants_heat(lot):
        yield f"{COLD_TEST.format(f'at {show_temperature(lot.tested_c, view.scale)}')}."
    if lot.source:
        yield f"From {lot.source}."


def _wants_heat(lot: LotLine) -> bool:
    crop = load_crops().get(lot.crop)
    return crop is not None and crop.hot_mat and crop.frost_class in {"tender", "very tender"}
