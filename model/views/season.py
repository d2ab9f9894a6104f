"""Looking back on a season: a page for each crop in each kind of container, and what the grower made of it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import TYPE_CHECKING

from model.ahead import SeasonVerdict
from model.asof import trays_on
from model.crops import crop_name, load_crops, unknown_crop
from model.errors import BadInput
from model.facts import Act, ActKind, Tray
from model.rules.ledger import corrected
from model.rules.outlook import Outlooks
from model.rules.season import TELLS, Season, days_of, days_to_ready, days_to_up, pages
from model.rules.season_page import Days, Page
from model.store import births, reading, reading_season
from model.store.database import Rows, Store
from model.store.set_aside import aside
from model.text import clean, folded
from model.views.answer import Answer
from model.views.plan import planned

if TYPE_CHECKING:
    from model.views.timings import CropTimings

QUIET_MONTH = 12
"""The month in which the farm is reminded to look back [-]. Ours."""


@dataclass(frozen=True, slots=True)
class CropSeason:
    """One crop in one kind of container, with the names of both and what the grower said."""

    name: str
    container: str
    page: Page
    verdict: SeasonVerdict | None
    up_ever: Days | None
    """Days to up of all seasons, in this kind of container."""
    ready_ever: Days | None
    """Days to ready of all seasons, in this kind of container, of what was sown there."""

    @property
    def title(self) -> str:
        return f"{self.name} in {self.container}"


@dataclass(frozen=True, slots=True)
class SeasonView:
    """A season, the most telling page first."""

    on: date
    season: int
    farm: str
    seasons: tuple[int, ...]
    """Years in which something was sown, the newest first."""
    crops: tuple[CropSeason, ...]

    def crop(self, key: str, container_id: int) -> CropSeason:
        """The page of a crop in a container."""
        for crop in self.crops:
            if (crop.page.crop, crop.page.container_id) == (key, container_id):
                return crop
        raise BadInput("That page is gone: its sowings were taken back.", "Look at the list again.")


def read(
    store: Store, today: date, now: datetime, outlooks: Outlooks | None = None, season: int | None = None
) -> SeasonView:
    """A season as it stood on a day; the newest in which something was sown, where none is named.

    Neither the instant nor the forecast matters here.
    """
    with store.reading() as rows:
        years = tuple(year for year in reading_season.years_sown(rows) if year <= today.year)
        year = season if season is not None else years[0] if years else today.year
        facts = _facts(rows, year, today)
        said = reading_season.verdicts(rows, year)
        boxes = {box.id: box.name for box in reading.containers(rows)}
        farm = reading.settings(rows).get("farm", "")
    return SeasonView(
        on=today,
        season=year,
        farm=farm,
        seasons=years,
        crops=tuple(
            CropSeason(
                name=crop_name(page.crop),
                container=boxes[page.container_id],
                page=page,
                verdict=said.get((page.crop, page.container_id)) or said.get((page.crop, None)),
                up_ever=_ever(facts, page, ready=False),
                ready_ever=_ever(facts, page, ready=True),
            )
            for page in pages(facts)
        ),
    )


def _facts(rows: Rows, year: int, today: date) -> Season:
    trays = {
        tray_id: tray
        for tray_id, tray in trays_on(rows, births.all_tray_ids(rows), today).items()
        if tray.made_on <= today
    }
    of_year = [tray for tray in trays.values() if any(s.sown_on.year == year for s in tray.sowings)]
    known = load_crops()
    keys = {sowing.crop for tray in of_year for sowing in tray.sowings}
    return Season(
        year=year,
        today=today,
        trays=trays,
        acts=_acts(rows, of_year, today),
        places={place.id: place for place in reading.places(rows)},
        crops={key: known.get(key) or unknown_crop(key) for key in keys},
        planned=[one for one in planned(rows, today, date(year, 1, 1)) if one.target.first_day.year == year],
        targets=reading_season.tray_targets(rows),
    )


def _acts(rows: Rows, trays: Sequence[Tray], today: date) -> dict[int, list[Act]]:
    away, by_id = aside(rows), {tray.id: tray for tray in trays}
    found: dict[int, list[Act]] = {}
    for act in reading.acts_of_kinds(rows, by_id, (*TELLS, ActKind.CORRECTED)):
        if act.entry_id not in away.entries and act.id not in away.acts and act.tray_id is not None:
            found.setdefault(act.tray_id, []).append(act)
    return {
        tray_id: [act for act in corrected(acts, by_id[tray_id].sowings) if act.day <= today]
        for tray_id, acts in found.items()
    }


def _ever(facts: Season, page: Page, *, ready: bool) -> Days | None:
    """Days of all seasons of one crop in one kind of container, of what was sown in it."""
    found = [
        days
        for tray in facts.trays.values()
        if tray.container_id == page.container_id
        for sowing in tray.sowings
        if sowing.crop == page.crop and not sowing.from_parent
        if (days := days_to_ready(tray, sowing) if ready else days_to_up(sowing)) is not None
    ]
    return days_of(found)


def of_crop(view: SeasonView, name: str) -> SeasonView:
    """A season's pages of one crop, by its name or key. Raises BadInput where it has none."""
    wanted = folded(clean(name).strip())
    crops = tuple(crop for crop in view.crops if wanted in {folded(crop.name), folded(crop.page.crop)})
    if not crops:
        names = ", ".join(dict.fromkeys(crop.name for crop in view.crops)) or "none"
        raise BadInput(f"No {name!r} is on record in {view.season}.", f"Name one of: {names}.")
    return replace(view, crops=crops)


def due(store: Store, today: date) -> int | None:
    """The season to be reminded of: in the quiet month or once the last tray is gone, one that was never reminded of."""
    with store.reading() as rows:
        years = [year for year in reading_season.years_sown(rows) if year <= today.year]
        if not years or reading_season.was_shown(rows, reminder_key(years[0])):
            return None
        quiet = (years[0] < today.year) or today.month == QUIET_MONTH
        return years[0] if quiet or not reading_season.trays_standing(rows) else None


def reminder_key(season: int) -> str:
    """By which it is kept that a season was reminded of."""
    return f"season {season}"


def answer(view: SeasonView) -> Answer:
    """The season in words."""
    from model.views.season_words import season_answer

    return season_answer(view)


def page_answer(view: SeasonView, crop: CropSeason, timings: "CropTimings | None" = None) -> Answer:
    """One page in words."""
    from model.views.season_words import crop_answer

    return crop_answer(view, crop, timings)
