"""The crop, container and seedling files: regulation figures, volumes, qualities, and refusals."""

import math
import re
import shutil
from pathlib import Path

import pytest

from model.crops import (
    emergence_row,
    emergence_table,
    load_containers,
    load_crops,
    normal_seedlings,
    unknown_crop,
)
from model.crops.loader import DATA, QUALITIES, UNITS, read_containers, read_crops
from model.facts import Bottom, ContainerKind
from model.science.emergence import Standing, emergence_rate, standing
from tests.science.published import Published, assert_published

# 7 CFR 201.31 minimum germination [%] and 7 CFR 201.46 seeds a gram; None = not in that section.
REGULATION: dict[str, tuple[int | None, int | None]] = {
    "tomato": (75, 405),
    "pepper": (55, 165),
    "eggplant": (60, 230),
    "lettuce": (80, 890),
    "endive": (70, 940),
    "radicchio": (65, 940),
    "cabbage": (75, 315),
    "broccoli": (75, 315),
    "cauliflower": (75, 315),
    "brussels_sprouts": (70, 315),
    "kale": (75, 315),
    "collards": (80, 315),
    "kohlrabi": (75, 315),
    "pak_choi": (75, 635),
    "chinese_cabbage": (75, 635),
    "mustard": (75, 625),
    "radish": (75, 75),
    "turnip": (80, 535),
    "onion": (70, 340),
    "leek": (60, 395),
    "scallion": (70, None),
    "chives": (50, None),
    "celery": (55, 2520),
    "celeriac": (55, 2520),
    "parsley": (60, 650),
    "dill": (60, 800),
    "carrot": (55, 825),
    "parsnip": (60, 430),
    "beet": (65, 60),
    "swiss_chard": (65, 60),
    "spinach": (60, 100),
    "cucumber": (80, 40),
    "muskmelon": (75, 45),
    "watermelon": (70, 11),
    "summer_squash": (75, 14),
    "winter_squash": (75, 14),
    "pumpkin": (75, 5),
    "okra": (50, 19),
    "sweet_corn": (75, None),
    "pea": (80, 3),
    "bean_snap": (70, 4),
    "bean_lima": (70, 2),
    "asparagus": (70, 25),
}
NOT_IN_REGULATION = {"mizuna", "arugula", "cilantro", "fennel", "basil"}

# Ontario Ministry of Agriculture, growing vegetable transplants in plug trays, Table 1 [mL].
ONTARIO = {24: 171, 38: 106, 50: 66, 72: 43, 128: 23, 200: 11, 288: 7}

BRASSICAS = {key for key, crop in load_crops().items() if crop.family == "Brassicaceae"}
CUCURBITS = {key for key, crop in load_crops().items() if crop.family == "Cucurbitaceae"}


def keys_where(mark: str) -> set[str]:
    return {key for key, crop in load_crops().items() if getattr(crop, mark)}


def test_there_are_forty_crops_and_thirty_five_of_them_grow():
    crops = load_crops()
    assert len(crops) >= 40
    assert sum(not math.isnan(crop.growth_rate) for crop in crops.values()) >= 35


def test_every_shipped_crop_is_checked_against_the_regulation():
    assert set(REGULATION) | NOT_IN_REGULATION == set(load_crops())


@pytest.mark.parametrize("key", REGULATION)
def test_minimum_germination_and_seed_counts_are_those_of_the_regulation(key: str):
    percent, seeds = REGULATION[key]
    crop = load_crops()[key]
    if percent is None:
        assert math.isnan(crop.min_germination)
    else:
        case = Published("7 CFR 201.31", "table", f"{key}, per cent", percent, 1)
        assert_published(case, 100.0 * crop.min_germination)
    if seeds is None:
        assert math.isnan(crop.seeds_per_gram)
    else:
        assert_published(
            Published("7 CFR 201.46", "Table 1", f"{key}, seeds/g", seeds, 1), crop.seeds_per_gram
        )


@pytest.mark.parametrize("key", sorted(NOT_IN_REGULATION))
def test_a_crop_without_a_legal_minimum_has_none(key: str):
    assert math.isnan(load_crops()[key].min_germination)


@pytest.mark.parametrize(("cells", "volume_ml"), ONTARIO.items())
def test_tray_volumes_are_those_of_the_ontario_table(cells: int, volume_ml: int):
    (tray,) = (container for container in load_containers() if container.name == f"{cells}-cell tray")
    assert_published(Published("Ontario", "Table 1", f"{cells} cells, mL", volume_ml, 1), tray.volume_ml)
    assert tray.cells == cells
    assert "Ontario" in tray.source
    assert tray.kind is ContainerKind.CELL_TRAY


def test_containers_are_numbered_in_file_order_with_a_quality_each():
    containers = load_containers()
    assert [container.id for container in containers] == list(range(len(containers)))
    assert len({container.name for container in containers}) == len(containers)
    assert {container.kind for container in containers} == set(ContainerKind)
    for container in containers:
        quality = re.search(r"\(([^()]*)\)$", container.source)
        assert quality is not None
        assert quality[1] in QUALITIES


def test_an_open_flat_is_as_big_as_its_sides_make_it():
    (flat,) = (container for container in load_containers() if container.name == "open flat")
    assert flat.volume_ml == 28 * 53 * 5
    assert flat.bottom is Bottom.SOLID


@pytest.mark.parametrize("key", load_crops())
def test_every_figure_has_its_unit_its_quality_and_its_source(key: str):
    for name, figure in load_crops()[key].figures.items():
        assert figure.unit == UNITS[name]
        assert figure.quality in QUALITIES
        assert figure.source.strip()


def test_the_crop_and_its_figures_say_the_same():
    tomato = load_crops()["tomato"]
    assert tomato.growth_rate == tomato.figures["growth_rate"].value == 0.0227
    assert tomato.growth_quality == "from published weeks"
    assert tomato.weeks == (5.0, 6.0)
    assert tomato.figures["mat_c"].value == 26.0
    assert math.isnan(tomato.figures["name"].value)


@pytest.mark.parametrize("key", load_crops())
def test_a_crops_figures_stand_in_order(key: str):
    crop = load_crops()[key]
    assert 0.15 <= crop.spread <= 0.30
    assert 3 <= crop.harden_days <= 14
    assert crop.frost_class in {"hardy", "half-hardy", "tender"}
    if not math.isnan(crop.growth_rate):
        assert -2.0 < crop.base_c < crop.cap_c < 35.0
        assert 0.0 < crop.growth_rate < 0.05
        assert crop.start_mass_mg > 0.0
    if crop.weeks is not None:
        assert 2 <= crop.weeks[0] <= crop.weeks[1] <= 12


@pytest.mark.parametrize("key", ["radish", "carrot", "parsnip", "turnip", "asparagus", "bean_lima"])
def test_a_crop_without_growth_figures_says_so(key: str):
    crop = load_crops()[key]
    assert math.isnan(crop.growth_rate)
    assert crop.growth_quality == "not known"


def test_names_are_plain_english():
    names = {key: crop.name for key, crop in load_crops().items()}
    assert names["sweet_corn"] == "sweet corn"
    assert names["pak_choi"] == "pak choi"
    assert names["brussels_sprouts"] == "Brussels sprouts"
    assert not any("_" in name for name in names.values())
    assert len(set(names.values())) == len(names)


def test_a_crop_that_was_tested_has_its_own_row():
    tomato = load_crops()["tomato"]
    assert tomato.emergence_days == emergence_table()["Tomato"]
    assert (tomato.emergence_from, tomato.emergence_quality) == ("", "measured")


def test_a_crop_that_was_not_tested_says_whose_row_it_borrows():
    crops = load_crops()
    assert crops["broccoli"].emergence_days == crops["cauliflower"].emergence_days
    assert crops["broccoli"].emergence_from == "as cauliflower"
    assert crops["broccoli"].emergence_quality == "family analogue"
    assert crops["endive"].emergence_from == "as lettuce, days × 1.2"
    assert crops["endive"].emergence_days[4] == pytest.approx(3.6)
    assert crops["basil"].emergence_quality == "assumed"
    assert crops["basil"].emergence_days[4] == pytest.approx(7.2)
    assert emergence_row("kale") == "Cabbage"


def test_turnip_is_not_forecast_from_a_row_that_cannot_be_right():
    turnip = load_crops()["turnip"]
    assert emergence_table()["Turnip"][5] == 1.0
    assert all(map(math.isnan, turnip.emergence_days))
    assert turnip.emergence_quality == "not usable"
    assert standing(turnip.emergence_days, 25.0) is Standing.UNKNOWN
    assert "1 day" in turnip.figures["emergence_row"].source
    assert emergence_row("turnip") == ""


@pytest.mark.parametrize("key", ["celery", "celeriac"])
def test_celery_in_the_heat_is_not_known_rather_than_never(key: str):
    crop = load_crops()[key]
    assert emergence_table()["Celery"][5] == math.inf
    assert standing(crop.emergence_days, 20.0) is Standing.TESTED
    assert standing(crop.emergence_days, 25.0) is Standing.UNKNOWN
    assert standing(crop.emergence_days, 21.0) is Standing.UNKNOWN
    assert standing(crop.emergence_days, 0.0) is Standing.NEVER
    assert crop.figures["emergence_trusted_to_c"].value == 20.0


def test_every_marked_crop_is_marked():
    assert keys_where("stretches_fast") == BRASSICAS | CUCURBITS | {"lettuce"}
    unmarked = set(load_crops()) - keys_where("hot_mat")
    assert unmarked == {"lettuce", "celery", "celeriac", "spinach", "endive", "radicchio"}
    herbs_and_onions = {"onion", "leek", "scallion", "chives", "parsley", "cilantro", "basil", "dill"}
    assert keys_where("doubles_wanted") == herbs_and_onions
    assert keys_where("pots_up") == {"tomato", "pepper", "eggplant"}
    assert {"lettuce", "mustard", "cilantro", "arugula", "mizuna", "kale"} <= keys_where("cut_again")
    assert {"spinach", "swiss_chard", "parsley", "pak_choi", "endive"} <= keys_where("cut_again")


def test_brassicas_are_sown_about_a_quarter_inch_deep_and_corn_about_an_inch():
    inch = 25.4
    depths = {key: crop.depth_mm for key, crop in load_crops().items()}
    for key in BRASSICAS - {"radish", "turnip"}:
        assert depths[key] == pytest.approx(inch / 4, abs=1.0)
    assert depths["sweet_corn"] == pytest.approx(inch, abs=2.0)
    for key in CUCURBITS:
        assert depths[key] == pytest.approx(inch / 2, abs=1.0)


def test_tomato_on_a_mat_near_seventy_fahrenheit_is_up_in_about_eight_days():
    # Common practice, no source: a seed tray kept near 70 °F shows tomatoes after about eight days.
    seventy_f = (70.0 - 32.0) / 1.8
    assert 1.0 / emergence_rate(load_crops()["tomato"].emergence_days, seventy_f) == pytest.approx(
        8.0, abs=1.0
    )


@pytest.mark.parametrize(
    ("row", "temp_node", "percent"),
    [
        ("Tomato", 2, 82),
        ("Tomato", 5, 97),
        ("Pepper", 5, 98),
        ("Lettuce", 6, 12),
        ("Spinach", 5, 28),
        ("Onion", 7, 73),
        ("Turnip", 5, 100),
        ("Celery", 5, 65),
    ],
)
def test_normal_seedlings_are_the_printed_percentages(row: str, temp_node: int, percent: int):
    case = Published("Harrington", "percent table", f"{row}, node {temp_node}", percent, 1)
    assert_published(case, normal_seedlings()[row][temp_node])


def test_a_percentage_that_was_not_recorded_is_not_nothing():
    assert math.isnan(normal_seedlings()["Cabbage"][4])
    assert set(normal_seedlings()) == set(emergence_table())


def test_a_crop_that_is_not_in_the_file_is_not_known():
    crop = unknown_crop("sea_kale")
    assert crop.name == "sea kale"
    assert standing(crop.emergence_days, 20.0) is Standing.UNKNOWN
    assert math.isnan(crop.growth_rate)
    assert math.isnan(crop.base_c)
    assert crop.weeks is None
    assert crop.growth_quality == crop.emergence_quality == "not known"
    assert emergence_row("sea_kale") == ""


def test_the_files_are_read_once():
    assert load_crops() is load_crops()
    assert load_containers() is load_containers()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the data files to spoil."""
    for name in ("crops.csv", "emergence.csv", "containers.csv"):
        shutil.copy(DATA / name, tmp_path / name)
    return tmp_path


def spoil(path: Path, old: str, new: str) -> int:
    """Replace the first occurrence and give back its line."""
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    return text[: text.index(old)].count("\n") + 1


@pytest.mark.parametrize(
    ("old", "new", "column"),
    [
        ("tomato,spread,0.2,", "tomato,spread,wide,", "value"),
        ("tomato,spread,0.2,", "tomato,spread,inf,", "value"),
        ("tomato,spread,0.2,", "tomato,spread,,", "value"),
        ("tomato,spread,0.2,-,assumed", "tomato,spread,0.2,-,", "quality"),
        ("tomato,spread,0.2,-,assumed", "tomato,spread,0.2,-,certain", "quality"),
        ("tomato,spread,0.2,-", "tomato,spread,0.2,mg", "unit"),
        ("tomato,spread,0.2,-", "tomato,width,0.2,-", "figure"),
        ("tomato,cap_c,28,°C", "tomato,base_c,28,°C", "figure"),
        ("tomato,pots_up,yes", "tomato,pots_up,perhaps", "value"),
        ("7 CFR 201.31\n", "\n", "source"),
    ],
)
def test_a_bad_crop_row_is_refused_by_file_line_and_column(folder: Path, old: str, new: str, column: str):
    line = spoil(folder / "crops.csv", old, new)
    with pytest.raises(ValueError, match=rf"^crops\.csv, line {line}, column {column}: "):
        read_crops(folder)


def test_a_row_that_is_too_short_is_refused(folder: Path):
    text = (folder / "crops.csv").read_text(encoding="utf-8").splitlines()
    text[1] = "tomato,name,tomato,word"
    (folder / "crops.csv").write_text("\n".join(text), encoding="utf-8")
    with pytest.raises(ValueError, match=r"^crops\.csv, line 2, column quality: 4 cells instead of 6"):
        read_crops(folder)


def test_a_crop_that_lacks_a_needed_figure_is_refused(folder: Path):
    text = (folder / "crops.csv").read_text(encoding="utf-8").splitlines(keepends=True)
    kept = [line for line in text if not line.startswith("tomato,harden_days")]
    (folder / "crops.csv").write_text("".join(kept), encoding="utf-8")
    with pytest.raises(ValueError, match=r"^crops\.csv, line 2, column figure: tomato has no harden_days"):
        read_crops(folder)


def test_a_crop_that_borrows_a_row_nobody_printed_is_refused(folder: Path):
    spoil(folder / "crops.csv", "kale,emergence_row,Cabbage", "kale,emergence_row,Colewort")
    with pytest.raises(ValueError, match=r"^crops\.csv, line \d+, column value: kale goes by 'Colewort'"):
        read_crops(folder)


def test_a_bad_cell_of_the_emergence_table_is_refused(folder: Path):
    line = spoil(folder / "emergence.csv", "Tomato,NG,NG,43,", "Tomato,NG,NG,soon,")
    with pytest.raises(ValueError, match=rf"^emergence\.csv, line {line}, column c10: 'soon'"):
        read_crops(folder)


def test_a_wrong_heading_is_refused(folder: Path):
    spoil(folder / "emergence.csv", "c40,", "c45,")
    with pytest.raises(ValueError, match=r"^emergence\.csv, line 1, column .*c45.*: the heading must be"):
        read_crops(folder)


@pytest.mark.parametrize(
    ("old", "new", "column"),
    [
        ("24-cell tray,cell tray", "24-cell tray,cell tub", "kind"),
        (",171,", ",much,", "volume_ml"),
        (",24,171", ",some,171", "cells"),
        (",171,open", ",171,ajar", "bottom"),
        (",171,open,published", ",171,open,certain", "quality"),
    ],
)
def test_a_bad_container_row_is_refused(folder: Path, old: str, new: str, column: str):
    spoil(folder / "containers.csv", old, new)
    with pytest.raises(ValueError, match=rf"^containers\.csv, line 2, column {column}: "):
        read_containers(folder)
