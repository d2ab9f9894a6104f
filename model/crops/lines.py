"""Lines out of doors by crop, from `lines.csv`: a crop's own where it has one, else those of its frost class."""

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from model.ahead import CropLines, Line
from model.crops.loader import DATA, QUALITIES, _bad, _number, load_crops, read_rows
from model.units import Temperature

LINE_COLUMNS = ("who", "line", "value", "unit", "quality", "by", "source")
SOIL, SETOUT, NIGHT = "soil", "setout_night", "night_out"
TENDER = "tender"
"""Also the class of a crop that isn't in the crop file: nothing is dared with what nobody knows."""


@cache
def load_lines() -> Mapping[str, CropLines]:
    """Lines of every crop in the crop file, and under "" those of a crop that isn't in it."""
    found: dict[tuple[str, str], list[Line]] = {}
    path = DATA / "lines.csv"
    for number, (who, what, text, unit, quality, by, source) in read_rows(path, LINE_COLUMNS):
        if quality not in QUALITIES or what not in {SOIL, SETOUT, NIGHT}:
            raise _bad(path, number, "line", f"{what} of quality {quality!r} isn't known")
        if unit not in list(Temperature):
            raise _bad(path, number, "unit", f"{unit!r} is no scale of temperature")
        line = Line(_number(path, number, "value", text), Temperature(unit), quality, by, source)
        found.setdefault((who, what), []).append(line)

    def of(crop: str, frost_class: str) -> CropLines:
        def every(what: str) -> list[Line]:
            return found.get((crop, what)) or found.get((frost_class, what), [])

        soil = sorted(every(SOIL), key=lambda line: line.celsius)
        return CropLines(tuple(soil), every(SETOUT)[0], every(NIGHT)[0], frost_class == TENDER)

    lines = {key: of(key, crop.frost_class) for key, crop in load_crops().items()}
    return MappingProxyType({**lines, "": of("", TENDER)})


def lines_of(crop: str) -> CropLines:
    """The lines of a crop; of one that isn't in the crop file those of a tender one."""
    lines = load_lines()
    return lines.get(crop) or lines[""]
