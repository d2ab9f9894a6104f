"""How long things take here: for each crop the default beside the farm's own, with how many trays and how spread."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from math import exp, inf, isfinite
from typing import TYPE_CHECKING

from model.crops import crop_name, load_crops
from model.facts import Sowing
from model.rules.coming_up import Z80
from model.rules.course import growth_of
from model.rules.season import days_of, days_to_up
from model.rules.season_page import Days
from model.science.emergence import NODES_C
from model.store import reading
from model.store.database import Store

if TYPE_CHECKING:
    from model.rules.learning import Past


USUAL_C = 20.0
"""Temperature at which the table's days are told [°C]."""


@dataclass(frozen=True, slots=True)
class CropTimings:
    """One crop's timings."""

    crop: str
    name: str
    up_default: float | None
    """Days to up by the published table at 20 °C; None where nobody tested it or none came."""
    up: Days | None
    """From sowing to first up; each lies between two looks, so its middle is taken in between."""
    hold: Days | None
    """From half up to the first look that found the plug to hold, of trays that teach."""
    default: tuple[float, float, float]
    """Growth of the slow tenth, the middle and the quick tenth by default, as multiples of the crop file's [-]."""
    yours: tuple[float, float, float] | None
    """The same as learned; None where no earlier tray teaches it."""
    trays: int
    used: bool | None
    """Whether the farm's own holds; None while nobody was asked."""
    left_out: tuple[tuple[str, int], ...]
    """Why earlier trays were left out, and how many each."""


@dataclass(frozen=True, slots=True)
class TimingsPage:
    """Every crop that the farm has sown."""

    crops: tuple[CropTimings, ...]
    to_ask: tuple[str, ...]
    """Crops whose own growth is known well enough to ask whether it shall hold."""

    def of(self, key: str) -> CropTimings | None:
        """One crop's; None where it was never sown."""
        return next((crop for crop in self.crops if crop.crop == key), None)


def read_timings(store: Store, past: "Past") -> TimingsPage:
    """The timings page, from what the forecast has learned."""
    with store.reading() as rows:
        trays = reading.every_tray(rows)
    sowings = [(tray, sowing) for tray in trays for sowing in tray.sowings if tray.parent_id is None]
    keys = sorted({sowing.crop for _, sowing in sowings})
    return TimingsPage(
        tuple(_of_crop(key, [s for _, s in sowings if s.crop == key], past) for key in keys), past.to_ask()
    )


def _of_crop(key: str, sowings: Iterable[Sowing], past: "Past") -> CropTimings:
    mean, spread = past.growth(key)
    held = past.days_to_hold(key)
    why = Counter(x.left_out for x in past.lessons if x.sowing.crop == key and x.left_out)
    return CropTimings(
        crop=key,
        name=crop_name(key),
        up_default=_by_the_table(key),
        up=days_of([days for sowing in sowings if (days := days_to_up(sowing)) is not None]),
        hold=Days(*held) if held else None,
        default=growth_of(None),
        yours=(exp(mean - Z80 * spread), exp(mean), exp(mean + Z80 * spread)) if past.count(key) else None,
        trays=past.count(key),
        used=past.agreed.get(key),
        left_out=tuple(why.most_common()),
    )


def _by_the_table(key: str) -> float | None:
    crop = load_crops().get(key)
    days = crop.emergence_days[NODES_C.index(USUAL_C)] if crop else inf
    return days if isfinite(days) else None
