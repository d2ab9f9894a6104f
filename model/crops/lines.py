"""Lines out of doors by crop, from `lines.csv`: a crop's own where it has one, else those of its frost class."""

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from model.ahead import CropLines
from model.crops.loader import DATA, QUALITIES, _bad, _number, load_crops, read_rows
from model.facts import Figure

LINE_COLUMNS = ("who", "line", "value", "unit", "quality", "source")
SOIL, SETOUT, NIGHT = "soil_c", "setout_night_c", "night_out_c"
TENDEREST = "tender"
"""Class of a crop that isn't in the crop file: nothing is dared with what nobody knows."""


@cache
def load_lines() -> Mapping[str, CropLines]:
    """Lines of every crop in the crop file, and under "" those of a crop that isn't in it."""
    found: dict[tuple[str, str], list[Figure]] = {}
    path = DATA / "lines.csv"
    for line, (who, what, text, unit, quality, source) in read_rows(path, LINE_COLUMNS):
        if quality not in QUALITIES or what not in {SOIL, SETOUT, NIGHT}:
            raise _bad(path, line, "line", f"{what} of quality {quality!r} isn't known")
        value = _number(path, line, "value", text)
        found.setdefault((who, what), []).append(Figure(value, unit, quality, source))

    def of(crop: str, frost_class: str) -> CropLines:
        def one(what: str) -> Figure:
            return (found.get((crop, what)) or found[frost_class, what])[0]

        soil = sorted(found.get((crop, SOIL), ()), key=lambda figure: figure.value)
        return CropLines(tuple(soil), one(SETOUT), one(NIGHT))

    lines = {key: of(key, crop.frost_class) for key, crop in load_crops().items()}
    return MappingProxyType({**lines, "": of("", TENDEREST)})


def lines_of(crop: str) -> CropLines:
    """The lines of a crop; of one that isn't in the crop file those of a tender one."""
    lines = load_lines()
    return lines.get(crop) or lines[""]
