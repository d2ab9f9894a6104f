"""Crops, containers and the emergence tables, read from the data files beside this module.

`crops.csv` has one row a figure: crop, figure, value, unit, quality, source. No row is without a quality
and a source; a figure that isn't known has no row and comes out as NaN (or None), so that the rules answer
"not known". A row that can't be read raises a ValueError that names file, line and column.
"""

import csv
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from types import MappingProxyType

from model.facts import Bottom, Container, ContainerKind, Crop, Figure
from model.science.emergence import NODES_C

DATA = Path(__file__).parent

CROP_COLUMNS = ("crop", "figure", "value", "unit", "quality", "source")
CONTAINER_COLUMNS = ("name", "kind", "cells", "volume_ml", "bottom", "quality", "source")
NODE_COLUMNS = tuple(f"c{node:.0f}" for node in NODES_C)
NAME_COLUMNS = ("name", "crop", "quality", "source")
EMERGENCE_COLUMNS = ("crop", *NODE_COLUMNS, "source")
SEEDLING_COLUMNS = ("crop", *NODE_COLUMNS, "source", "note")

UNITS: Mapping[str, str] = {
    "name": "word",
    "family": "word",
    "emergence_row": "word",
    "emergence_factor": "-",
    "emergence_trusted_to_c": "°C",
    "spread": "-",
    "base_c": "°C",
    "cap_c": "°C",
    "growth_rate": "1/(°C d)",
    "start_mass_mg": "mg",
    "weeks_lo": "weeks",
    "weeks_hi": "weeks",
    "harden_days": "d",
    "frost_class": "word",
    "stretches_fast": "yes/no",
    "hot_mat": "yes/no",
    "doubles_wanted": "yes/no",
    "pots_up": "yes/no",
    "cut_again": "yes/no",
    "min_germination": "fraction",
    "seeds_per_gram": "seeds/g",
    "depth_mm": "mm",
    "mat_c": "°C",
}
"""Every figure a crop may have, and its unit."""

NEEDED = (
    "name",
    "family",
    "emergence_row",
    "spread",
    "harden_days",
    "frost_class",
    *(figure for figure, unit in UNITS.items() if unit == "yes/no"),
)
"""Figures that every crop in the file must have."""

QUALITIES = frozenset(
    {
        "measured",
        "family analogue",
        "assumed",
        "from published weeks",
        "measured and published weeks",
        "computed",
        "regulation",
        "published",
        "published on a weak page",
        "common practice, no source",
        "from memory",
        "not usable",
        "naming",
    }
)
"""How well a figure may be known."""

NO_ROW = "none"
"""Written as the emergence row of a crop whose table can't be used."""

USUAL_HARDEN_DAYS = 7
"""For a crop that isn't in the file [d]: about a week, University of Delaware; assumed to fit."""

_YES_NO = {"yes": 1.0, "no": 0.0}
_DAY_WORDS = {"NG": math.inf, "NT": math.nan}
_PERCENT_WORDS = {"NT": math.nan, "NR": math.nan}
_NOT_TESTED = (math.nan,) * len(NODES_C)


@cache
def load_crops() -> Mapping[str, Crop]:
    """All crops by key, in file order."""
    return MappingProxyType(read_crops(DATA))


@cache
def load_containers() -> tuple[Container, ...]:
    """All containers; ids count from 0 in file order."""
    return read_containers(DATA)


@cache
def emergence_table() -> Mapping[str, tuple[float, ...]]:
    """Days to emergence at 0, 5, ... 40 °C by crop name of the table: inf = none came, NaN = not tested."""
    return MappingProxyType(read_grid(DATA / "emergence.csv", EMERGENCE_COLUMNS, _DAY_WORDS))


@cache
def normal_seedlings() -> Mapping[str, tuple[float, ...]]:
    """Per cent normal seedlings at the same nodes, by crop name of the table; NaN = not recorded."""
    return MappingProxyType(read_grid(DATA / "normal_seedlings.csv", SEEDLING_COLUMNS, _PERCENT_WORDS))


@cache
def emergence_row(key: str) -> str:
    """Name in the two tables above that a crop goes by; empty where it has none."""
    draft = _read_drafts(DATA / "crops.csv").get(key)
    row = draft.words["emergence_row"] if draft else NO_ROW
    return "" if row == NO_ROW else row


@cache
def crop_names() -> Mapping[str, str]:
    """Key of every crop by each name that growers use for it, in small letters: its own, and other trade words."""
    named = {crop.name.lower(): key for key, crop in load_crops().items()}
    others = {row[0].lower(): row[1] for _, row in read_rows(DATA / "names.csv", NAME_COLUMNS)}
    return MappingProxyType({**others, **named})


def crop_name(key: str) -> str:
    """A crop's name as it is said, from its key."""
    crop = load_crops().get(key)
    return crop.name if crop else key.replace("_", " ")


def variety_name(crop: str, variety: str) -> str:
    """Crop and variety as they are said, like "tomato Ostrel"; the crop alone where no variety is named."""
    return f"{crop_name(crop)} {variety}".rstrip()


def said_variety(kept: str) -> str:
    """Crop and variety as they are said, from "crop/variety" as a correction keeps them."""
    crop, _, variety = kept.partition("/")
    return variety_name(crop, variety)


def unknown_crop(key: str) -> Crop:
    """A crop that isn't in the file: every number NaN, so that the rules answer "not known"."""
    return Crop(
        key=key,
        name=key.replace("_", " "),
        family="",
        emergence_days=_NOT_TESTED,
        emergence_from="",
        emergence_quality="not known",
        spread=math.nan,
        base_c=math.nan,
        cap_c=math.nan,
        growth_rate=math.nan,
        start_mass_mg=math.nan,
        growth_quality="not known",
        weeks=None,
        harden_days=USUAL_HARDEN_DAYS,
        frost_class="not known",
        stretches_fast=False,
        hot_mat=True,
        doubles_wanted=False,
        pots_up=False,
        cut_again=False,
        min_germination=math.nan,
        seeds_per_gram=math.nan,
        depth_mm=math.nan,
    )


def read_crops(folder: Path) -> dict[str, Crop]:
    """Crops from `crops.csv` and `emergence.csv` in a folder; ValueError names file, line and column."""
    table = read_grid(folder / "emergence.csv", EMERGENCE_COLUMNS, _DAY_WORDS)
    path = folder / "crops.csv"
    return {key: _crop(key, draft, table, path) for key, draft in _read_drafts(path).items()}


def read_containers(folder: Path) -> tuple[Container, ...]:
    """Containers from `containers.csv` in a folder; ValueError names file, line and column."""
    path = folder / "containers.csv"
    return tuple(
        _container(number, path, line, row)
        for number, (line, row) in enumerate(read_rows(path, CONTAINER_COLUMNS))
    )


def read_grid(
    path: Path, columns: tuple[str, ...], words: Mapping[str, float]
) -> dict[str, tuple[float, ...]]:
    """A table of nine temperatures a crop; `words` says what stands for a cell that isn't a number."""
    grid: dict[str, tuple[float, ...]] = {}
    for line, row in read_rows(path, columns, blank_allowed=("note",)):
        cells = zip(NODE_COLUMNS, row[1:], strict=False)
        grid[row[0]] = tuple(
            words[text] if text in words else _number(path, line, column, text) for column, text in cells
        )
    return grid


@dataclass(slots=True)
class _Draft:
    """What the rows of one crop said so far."""

    line: int
    words: dict[str, str] = field(default_factory=dict)
    figures: dict[str, Figure] = field(default_factory=dict)

    def number(self, figure: str) -> float:
        known = self.figures.get(figure)
        return known.value if known else math.nan

    def says(self, figure: str) -> bool:
        return self.figures[figure].value == 1.0


def _read_drafts(path: Path) -> dict[str, _Draft]:
    drafts: dict[str, _Draft] = {}
    for line, (crop, figure, text, unit, quality, source) in read_rows(path, CROP_COLUMNS):
        draft = drafts.setdefault(crop, _Draft(line))
        if UNITS.get(figure) != unit:
            column = "unit" if figure in UNITS else "figure"
            raise _bad(path, line, column, f"{figure} in {unit} isn't a figure this program knows")
        if figure in draft.figures:
            raise _bad(path, line, "figure", f"{crop} has {figure} twice")
        if quality not in QUALITIES:
            raise _bad(path, line, "quality", f"{quality!r} isn't one of the qualities")
        if unit == "word":
            draft.words[figure] = text
        value = math.nan if unit == "word" else _value(path, line, unit, text)
        draft.figures[figure] = Figure(value, unit, quality, source)
    return drafts


def _crop(key: str, draft: _Draft, table: Mapping[str, tuple[float, ...]], path: Path) -> Crop:
    for figure in NEEDED:
        if figure not in draft.figures:
            raise _bad(path, draft.line, "figure", f"{key} has no {figure}")
    row = draft.words["emergence_row"]
    if row not in table and row != NO_ROW:
        raise _bad(path, draft.line, "value", f"{key} goes by {row!r}, which emergence.csv doesn't have")
    growth = draft.figures.get("growth_rate")
    weeks = (draft.number("weeks_lo"), draft.number("weeks_hi"))
    return Crop(
        key=key,
        name=draft.words["name"],
        family=draft.words["family"],
        emergence_days=_emergence_days(draft, table.get(row, _NOT_TESTED)),
        emergence_from=_emergence_from(draft, row),
        emergence_quality=draft.figures["emergence_row"].quality,
        spread=draft.number("spread"),
        base_c=draft.number("base_c"),
        cap_c=draft.number("cap_c"),
        growth_rate=draft.number("growth_rate"),
        start_mass_mg=draft.number("start_mass_mg"),
        growth_quality=growth.quality if growth else "not known",
        weeks=None if any(map(math.isnan, weeks)) else weeks,
        harden_days=int(draft.number("harden_days")),
        frost_class=draft.words["frost_class"],
        stretches_fast=draft.says("stretches_fast"),
        hot_mat=draft.says("hot_mat"),
        doubles_wanted=draft.says("doubles_wanted"),
        pots_up=draft.says("pots_up"),
        cut_again=draft.says("cut_again"),
        min_germination=draft.number("min_germination"),
        seeds_per_gram=draft.number("seeds_per_gram"),
        depth_mm=draft.number("depth_mm"),
        figures=MappingProxyType(draft.figures),
    )


def _emergence_days(draft: _Draft, printed: tuple[float, ...]) -> tuple[float, ...]:
    """The table row times the crop's factor, untested above the temperature up to which it is trusted."""
    trusted_to = draft.number("emergence_trusted_to_c")
    factor = draft.number("emergence_factor")
    return tuple(
        math.nan if math.isnan(days) or node_c > trusted_to else days * factor
        for node_c, days in zip(NODES_C, printed, strict=True)
    )


def _emergence_from(draft: _Draft, row: str) -> str:
    """In words which crop's table is borrowed; empty where the crop itself was tested, or has no table."""
    if row == NO_ROW or draft.figures["emergence_row"].quality == "measured":
        return ""
    factor = draft.number("emergence_factor")
    return f"as {row.lower()}" + ("" if factor == 1.0 else f", days × {factor:g}")


def _container(number: int, path: Path, line: int, row: list[str]) -> Container:
    name, kind, cells, volume, bottom, quality, source = row
    if kind not in list(ContainerKind):
        raise _bad(path, line, "kind", f"{kind!r} isn't a kind of container")
    if bottom not in list(Bottom):
        raise _bad(path, line, "bottom", f"{bottom!r} is neither open nor solid")
    if quality not in QUALITIES:
        raise _bad(path, line, "quality", f"{quality!r} isn't one of the qualities")
    return Container(
        id=number,
        name=name,
        kind=ContainerKind(kind),
        cells=int(_number(path, line, "cells", cells)),
        volume_ml=_number(path, line, "volume_ml", volume),
        bottom=Bottom(bottom),
        source=f"{source} ({quality})",
    )


def read_rows(
    path: Path, columns: tuple[str, ...], blank_allowed: tuple[str, ...] = ()
) -> Iterator[tuple[int, list[str]]]:
    """Line number and cells of every row; refuses a wrong heading, a short or long row and a blank cell."""
    with path.open(encoding="utf-8", newline="") as lines:
        reader = csv.reader(lines)
        heading = next(reader, [])
        if tuple(heading) != columns:
            raise _bad(path, 1, ",".join(heading), f"the heading must be {','.join(columns)}")
        for row in reader:
            if len(row) != len(columns):
                column = columns[min(len(row), len(columns) - 1)]
                raise _bad(path, reader.line_num, column, f"{len(row)} cells instead of {len(columns)}")
            if "" in row:
                column = columns[row.index("")]
                if column not in blank_allowed:
                    raise _bad(path, reader.line_num, column, "the cell is blank")
            yield reader.line_num, row


def _value(path: Path, line: int, unit: str, text: str) -> float:
    if unit != "yes/no":
        return _number(path, line, "value", text)
    if text not in _YES_NO:
        raise _bad(path, line, "value", f"{text!r} is neither yes nor no")
    return _YES_NO[text]


def _number(path: Path, line: int, column: str, text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise _bad(path, line, column, f"{text!r} isn't a number")
    return value


def _bad(path: Path, line: int, column: str, why: str) -> ValueError:
    return ValueError(f"{path.name}, line {line}, column {column}: {why}.")
