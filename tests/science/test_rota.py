"""The mat rota: what slots go to whom, every rota against brute force, and what the answer says of itself."""

import itertools
import math
import subprocess
import sys
from contextlib import suppress
from pathlib import Path
from random import Random

import pytest

from model.crops.loader import emergence_table, normal_seedlings
from model.errors import BadInput
from model.quiet import standard_output_shut
from model.science.emergence import NODES_C
from model.science.rota import Placement, Proof, Rota, free_days, greedy, slot_map, solve
from model.science.rota_choices import (
    CELERY_LIMIT_C,
    LEFT_OUT_DAYS,
    LETTUCE_LIMIT_C,
    SPINACH_LIMIT_C,
    Mat,
    Pin,
    Sowing,
    Stay,
    Where,
    options,
)
from model.science.rota_solver import Solved, without_twins
from tests.bench.rota import WARM_NODE, mats_for, spring
from tests.science.published import Published, assert_published

ROOT = Path(__file__).parents[2]
OWN = "own worked figure"
AT_15, AT_25 = NODES_C.index(15.0), NODES_C.index(25.0)


def sown(
    name: str, earliest: int = 0, latest: int = 9, warm: int = 5, cold: int | None = 9, **more
) -> Sowing:
    """One flat with a stay on mat A and on mat B, first up a day before it comes off."""
    stay = Stay(max(1, warm - 1), warm)
    return Sowing(
        name, earliest, latest, **{"flats": 1, "stays": {"A": stay, "B": stay}, "days_cold": cold, **more}
    )


def one_mat(slots: int = 1, **more) -> list[Mat]:
    return [Mat("A", slots, 25.0, **more)]


def placed(rota: Rota) -> dict[str, Placement]:
    return {placement.sowing: placement for placement in rota.placements}


def from_table(crop: str, **more) -> Sowing:
    """A sowing as the table has it: on a mat at 25 °C against a bench at 15 °C."""
    row = emergence_table()[crop]
    return sown(crop, warm=int(row[AT_25]), cold=int(row[AT_15]), **more)


# The figures of MODELS: two sowings that want one slot.


def test_two_sowings_that_want_one_slot_on_one_day_cost_five_days_in_all():
    rota = solve([sown("first", cold=None), sown("second", cold=None)], one_mat())
    assert rota.proof is Proof.OPTIMAL
    assert_published(Published(OWN, "two stays of 5 days", "weighted days", 5.0, 1.0), rota.objective)
    assert sorted(p.day for p in rota.placements) == [0, 5]


def test_where_the_window_does_not_allow_it_one_goes_without_and_costs_what_heat_saves():
    rota = solve([sown("first", latest=4, cold=14), sown("second", latest=4, cold=12)], one_mat())
    assert_published(Published(OWN, "7 days saved", "weighted days", 7.0, 1.0), rota.objective)
    assert placed(rota)["second"].where is Where.WITHOUT
    assert placed(rota)["first"].where is Where.ON_MAT


def test_flats_and_weight_multiply_what_a_sowing_loses():
    sowings = [sown("first", latest=0, cold=14, weight=9.0), sown("second", latest=0, flats=2, weight=1.5)]
    rota = solve(sowings, one_mat(slots=2))
    assert rota.objective == pytest.approx(2 * 1.5 * 4)
    assert placed(rota)["second"].cost == rota.objective


# Days saved, and mats that are too hot.


@pytest.mark.parametrize(
    ("crop", "printed"),
    [("Pepper", 17), ("Cucumber", 9), ("Tomato", 8), ("Corn, sweet", 8), ("Onion", 3), ("Lettuce", 2)],
)
def test_a_mat_saves_the_days_the_table_says(crop: str, printed: int):
    case = Published("Harrington and Minges 1954", "days at 15 °C less days at 25 °C", crop, printed, 1.0)
    assert_published(case, greedy([from_table(crop)], one_mat()).placements[0].days_saved)


@pytest.mark.parametrize("make", [greedy, solve])
def test_one_slot_goes_to_the_pepper_and_the_answer_says_why(make):
    sowings = [from_table(crop, latest=0) for crop in ("Lettuce", "Onion", "Tomato", "Cucumber", "Pepper")]
    told = placed(make(sowings, one_mat()))
    pepper, cucumber = told["Pepper"], told["Cucumber"]
    assert (pepper.where, pepper.days_saved, pepper.held_by) == (Where.ON_MAT, 17, ())
    assert pepper.ahead_of == ("Lettuce", "Onion", "Tomato", "Cucumber")
    assert (cucumber.where, cucumber.days_saved, cucumber.held_by) == (Where.WITHOUT, 9, ("Pepper",))


def test_trays_that_stand_there_already_are_named_apart_from_sowings_that_hold_a_slot():
    busy = one_mat(taken=dict.fromkeys(range(4), 1))
    tomato = solve([sown("tomato", cold=14)], busy).placements[0]
    assert (tomato.day, tomato.held_by_standing, tomato.held_by) == (4, True, ())
    assert not solve([sown("tomato")], one_mat()).placements[0].held_by_standing


def test_only_sowings_there_on_days_that_are_full_are_said_to_hold_a_slot():
    pinned = {"early": (0, 1), "late": (3, 5), "later": (4, 5)}
    others = [sown(name, warm=warm, pin=Pin(day=day, mat="A")) for name, (day, warm) in pinned.items()]
    told = placed(solve([sown("pepper", cold=None), *others], one_mat(slots=2)))
    assert (told["pepper"].day, told["pepper"].held_by) == (8, ("late", "later"))
    assert (told["early"].ahead_of, told["late"].ahead_of) == ((), ("pepper",))


@pytest.mark.parametrize(
    ("crop", "limit"),
    [("Lettuce", LETTUCE_LIMIT_C), ("Celery", CELERY_LIMIT_C), ("Spinach", SPINACH_LIMIT_C)],
)
def test_the_limits_of_cool_crops_are_the_last_node_at_which_half_come_up(crop: str, limit):
    node = NODES_C.index(limit.value)
    good, days = normal_seedlings()[crop], emergence_table()[crop]
    assert good[node] >= 50.0
    assert good[node + 1] < 50.0 or math.isinf(days[node + 1])


def test_lettuce_never_goes_on_a_mat_hotter_than_its_limit_even_if_it_is_empty():
    mats = [Mat("A", 4, 30.0), Mat("B", 4, 25.0)]
    lettuce = sown("lettuce", warmest_mat_c=LETTUCE_LIMIT_C.value)
    assert solve([lettuce], mats).placements[0].mat == "B"
    alone = solve([lettuce], mats[:1]).placements[0]
    assert (alone.where, alone.mat, alone.days_saved, alone.cost) == (Where.WITHOUT, None, None, 0.0)


def test_a_mat_is_not_given_where_going_without_costs_no_more():
    slow = solve([sown("turnip", warm=5, cold=5)], one_mat()).placements[0]
    assert (slow.where, slow.day, slow.cost) == (Where.WITHOUT, 0, 0.0)
    full = dict.fromkeys(range(3), 1)
    assert solve([sown("cress", warm=5, cold=8)], one_mat(taken=full)).placements[0].where is Where.WITHOUT
    assert solve([sown("cress", warm=5, cold=9)], one_mat(taken=full)).placements[0].day == 3


def test_a_mat_days_early_is_not_given_either_where_going_without_costs_no_more():
    later = one_mat(taken=dict.fromkeys(range(3, 20), 1))
    for cold, where in ((6, Where.WITHOUT), (7, Where.ON_MAT)):
        assert solve([sown("cress", warm=3, cold=cold, wished=3)], later).placements[0].where is where


def test_a_cooler_mat_costs_its_longer_stay():
    stays = {"A": Stay(4, 5), "B": Stay(6, 7)}
    rota = solve(
        [sown("one", stays=stays, latest=0), sown("two", stays=stays, latest=0)],
        [*one_mat(), Mat("B", 1, 20.0)],
    )
    assert rota.objective == 2.0
    assert {(p.mat, p.days_saved) for p in rota.placements} == {("A", 4), ("B", 2)}


def test_what_has_to_have_heat_and_finds_none_is_left_out_and_named():
    rota = solve([sown("one", latest=0, cold=None), sown("two", latest=0, cold=None)], one_mat())
    out = next(p for p in rota.placements if p.where is Where.LEFT_OUT)
    assert (out.day, out.mat, out.days_saved, len(out.held_by)) == (None, None, None, 1)
    assert rota.objective == LEFT_OUT_DAYS.value


# Pins.


def test_a_pin_is_kept_and_the_rest_is_solved_around_it():
    sowings = [sown("pepper", cold=30), sown("onion", cold=8, pin=Pin(day=0, mat="A"))]
    told = placed(solve(sowings, one_mat()))
    assert (told["onion"].day, told["onion"].mat, told["onion"].pinned) == (0, "A", True)
    assert (told["pepper"].day, told["pepper"].held_by) == (5, ("onion",))


def test_a_pin_to_no_mat_is_kept_and_its_price_is_seen():
    told = solve(
        [sown("pepper", cold=30, may_go_without=False, pin=Pin(without=True))], one_mat()
    ).placements[0]
    assert (told.where, told.day, told.cost, told.days_saved) == (Where.WITHOUT, 0, 25.0, 25)


def test_a_pinned_day_may_lie_outside_the_window_and_counts_from_the_wish():
    told = solve([sown("pepper", cold=30, pin=Pin(day=12))], one_mat()).placements[0]
    assert (told.day, told.cost) == (12, 12.0)


def test_pins_that_want_one_slot_twice_are_refused():
    pins = [sown(name, pin=Pin(day=day, mat="A")) for name, day in (("one", 0), ("two", 4))]
    for make in (greedy, solve):
        with pytest.raises(BadInput, match="pinned to a mat that is full"):
            make(pins, one_mat())


# Every rota, counted out.


def small_rota(chance: Random) -> tuple[list[Sowing], list[Mat]]:
    """Up to five sowings, up to two mats (alike half of the time), some taken slots, some pins."""
    twins = chance.random() < 0.5
    set_c = [25.0, 25.0 if twins else 30.0]
    mats = [
        Mat(name, chance.randint(2, 3), c, {} if twins else {chance.randrange(6): 1})
        for name, c in list(zip("AB", set_c, strict=True))[: chance.randint(1, 2)]
    ]
    if twins:
        mats = [Mat(mat.name, 2, mat.set_c) for mat in mats]
    sowings = []
    for number in range(chance.randint(2, 5)):
        earliest, warm = chance.randrange(3), chance.randint(1, 5)
        latest = earliest + chance.randrange(3)
        stays = {mat.name: Stay(1, warm if twins else chance.randint(1, 5)) for mat in mats}
        cold = chance.choice((None, warm + 1, warm + 4, warm + 12))
        pin = chance.choice((None, None, None, None, Pin(day=earliest), Pin(mat="A"), Pin(without=True)))
        sowings.append(
            Sowing(
                f"s{number}",
                earliest,
                latest,
                chance.choice((1, 1, 2)),
                stays,
                cold,
                wished=chance.randint(earliest, latest),
                weight=chance.choice((1.0, 1.0, 2.5)),
                may_go_without=chance.random() < 0.8,
                warmest_mat_c=chance.choice((math.inf, math.inf, 26.0)),
                pin=None if pin == Pin(without=True) and cold is None else pin,
            )
        )
    return sowings, mats


def ways(sowing: Sowing, mats: list[Mat]) -> list[tuple[float, dict[tuple[str, int], int]]]:
    """Every way to place a sowing, with its cost and the slots it holds; told from the words, not from the module."""
    pin = sowing.pin or Pin()
    right = [mat for mat in mats if mat.set_c <= sowing.warmest_mat_c]
    cold = sowing.days_cold
    quickest = min([sowing.stays[mat.name].days for mat in right] + ([] if cold is None else [cold]))
    days = [pin.day] if pin.day is not None else range(sowing.earliest, sowing.latest + 1)
    found, each = [], sowing.flats * sowing.weight
    for mat, day in itertools.product(right, days):
        if not pin.without and pin.mat in (None, mat.name):
            stay = sowing.stays[mat.name].days
            held = {(mat.name, on): sowing.flats for on in range(day, day + stay)}
            found.append((each * (abs(day - sowing.wished) + stay - quickest), held))
    worst = max((cost for cost, _ in found), default=0.0)
    if cold is not None and (pin.without or (pin.mat is None and sowing.may_go_without)):
        day = sowing.wished if pin.day is None else pin.day
        found.append((each * (abs(day - sowing.wished) + cold - quickest), {}))
    else:
        found.append((worst + each * 365.0, {}))
    return sorted(found, key=lambda way: way[0])


def least(
    all_ways: list[list], room: dict[tuple[str, int], int], so_far: float = 0.0, best: float = math.inf
) -> float:
    """The least cost over all combinations that fit, by trying each."""
    if not all_ways:
        return so_far
    for cost, held in all_ways[0]:
        if so_far + cost >= best:
            break
        left = {slot: room.get(slot, 0) - flats for slot, flats in held.items()}
        if all(slots >= 0 for slots in left.values()):
            best = min(best, least(all_ways[1:], {**room, **left}, so_far + cost, best))
    return best


def small_rotas(wanted: int) -> list[tuple[list[Sowing], list[Mat]]]:
    """Small rotas in which each sowing has some way to go."""
    found, chance = [], Random(20)
    while len(found) < wanted:
        sowings, mats = small_rota(chance)
        with suppress(BadInput):  # a cool crop that has to have heat, or a pin to a mat too hot for it
            greedy(sowings, mats)
            found.append((sowings, mats))
    return found


def test_the_proved_best_is_the_least_of_all_rotas_and_the_greedy_never_beats_it():
    worse = 0
    for sowings, mats in small_rotas(200):
        room = {(mat.name, day): mat.open_slots(day) for mat in mats for day in range(40)}
        best, plain = solve(sowings, mats, seconds=60.0), greedy(sowings, mats)
        assert best.proof is Proof.OPTIMAL
        assert best.objective == pytest.approx(least([ways(s, mats) for s in sowings], room), abs=1e-9)
        assert plain.objective >= best.objective - 1e-9
        worse += plain.objective > best.objective + 1e-9
    assert worse >= 10, "rotas on which the greedy is never worse would test nothing"


def test_a_rota_never_overfills_a_mat():
    for seed in range(3):
        sowings = spring(40, (WARM_NODE, WARM_NODE), Random(seed))
        mats = mats_for(sowings, (WARM_NODE, WARM_NODE), 0.45)
        best, plain = solve(sowings, mats, seconds=60.0), greedy(sowings, mats)
        assert best.objective <= plain.objective
        for rota in (best, plain):
            assert rota.objective == pytest.approx(sum(p.cost for p in rota.placements))
            rows = slot_map(rota, mats, 0, 120)
            assert min(row.free for row in rows) >= 0
            on_mats = sum(p.flats * p.stay.days for p in rota.placements if p.stay)
            assert sum(there.flats for row in rows for there in row.standing) == on_mats
            for sowing, p in zip(sowings, rota.placements, strict=True):
                assert p.where is Where.LEFT_OUT or sowing.earliest <= p.day <= sowing.latest


def test_mats_that_are_alike_are_searched_once_and_nothing_is_lost():
    sowings = [sown(f"s{n}", cold=20, latest=2, warm=3 + n % 3) for n in range(6)]
    twins = [Mat("A", 1, 25.0), Mat("B", 1, 25.0)]
    choices = [options(sowing, twins) for sowing in sowings]
    fewer = without_twins(sowings, twins, choices)
    assert sum(map(len, fewer)) == sum(map(len, choices)) - 3
    told_apart = [Mat("A", 1, 25.0), Mat("B", 1, 25.0, {99: 1})]
    assert without_twins(sowings, told_apart, choices) == choices
    assert solve(sowings, twins).objective == solve(sowings, told_apart).objective
    slower = [sown("s", stays={"A": Stay(4, 5), "B": Stay(5, 6)}), *sowings]
    assert without_twins(slower, twins, [options(s, twins) for s in slower])[1:] == choices
    pinned = [sown("p", pin=Pin(mat="B")), *sowings]
    assert without_twins(pinned, twins, [options(s, twins) for s in pinned])[1:] == choices


# What the answer says of itself.


def test_the_greedy_is_never_called_the_best():
    rota = greedy([sown("alone")], one_mat())
    assert (rota.objective, rota.bound, rota.gap, rota.proof) == (0.0, None, None, Proof.GREEDY)


def test_without_the_solver_the_greedy_answers_and_says_so(monkeypatch):
    monkeypatch.setitem(sys.modules, "highspy", None)
    sowings = [sown("first"), sown("second")]
    assert solve(sowings, one_mat()) == greedy(sowings, one_mat())


def wide_spring() -> tuple[list[Sowing], list[Mat]]:
    sowings = spring(150, (WARM_NODE,), Random(0))
    return sowings, mats_for(sowings, (WARM_NODE,), 0.45)


def test_out_of_time_the_answer_is_no_worse_than_the_greedy_and_states_its_gap():
    sowings, mats = wide_spring()
    rota, plain = solve(sowings, mats, seconds=1e-3), greedy(sowings, mats)
    assert rota.proof is Proof.STOPPED
    assert rota.objective <= plain.objective
    assert rota.gap == pytest.approx((rota.objective - rota.bound) / rota.objective)
    assert 0.0 < rota.gap <= 1.0


@pytest.mark.parametrize("found", ["nothing", "worse"])
def test_a_solver_that_finds_nothing_better_leaves_the_greedy_with_the_solvers_bound(found, monkeypatch):
    sowings = [sown("first", cold=None), sown("second", cold=None)]
    worst = [options(sowing, one_mat())[-1] for sowing in sowings]
    solved = Solved(None if found == "nothing" else worst, 4.0)
    monkeypatch.setattr("model.science.rota.best_choice", lambda *_: solved)
    rota, plain = solve(sowings, one_mat()), greedy(sowings, one_mat())
    assert (rota.placements, rota.objective) == (plain.placements, 5.0)
    assert (rota.bound, rota.gap, rota.proof) == (4.0, pytest.approx(0.2), Proof.STOPPED)


def test_an_answer_within_an_allowed_gap_is_not_called_the_best():
    sowings, mats = wide_spring()
    rota = solve(sowings, mats, seconds=60.0, gap=0.5)
    assert rota.proof is Proof.STOPPED
    assert 0.0 < rota.gap <= 0.5
    assert rota.bound < rota.objective


def test_the_same_sowings_give_the_same_rota():
    sowings = spring(40, (WARM_NODE,), Random(3))
    mats = mats_for(sowings, (WARM_NODE,), 0.45)
    assert solve(sowings, mats, seconds=60.0) == solve(sowings, mats, seconds=60.0)
    assert greedy(sowings, mats) == greedy(sowings, mats)
    backwards = placed(greedy(sowings[::-1], mats))
    assert all(backwards[name].day == told.day for name, told in placed(greedy(sowings, mats)).items())


def test_nothing_to_sow_is_a_rota_too():
    assert solve([], one_mat()) == Rota((), 0.0, 0.0, 0.0, Proof.OPTIMAL)
    assert solve([sown("kale")], []).placements[0].where is Where.WITHOUT


# Nothing is printed.

SOLVE_ONE = """
from model.science.rota import solve
from model.science.rota_choices import Mat, Sowing, Stay
rota = solve([Sowing("a", 0, 9, 1, {"A": Stay(4, 5)}, 9), Sowing("b", 0, 9, 1, {"A": Stay(4, 5)}, 9)], [Mat("A", 1, 25.0)])
"""


def run(code: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT)


def test_solving_prints_nothing():
    done = run(SOLVE_ONE)
    assert (done.stdout, done.stderr) == ("", "")
    assert run(SOLVE_ONE + "print(rota.proof.name)").stdout == "OPTIMAL\n"


def test_the_solver_would_print_if_it_were_let():
    assert "HiGHS" in run("import highspy; highspy.Highs()").stdout, (
        "drop model/quiet.py: nothing to keep quiet"
    )


def test_solving_works_with_standard_output_closed():
    assert (
        run(f"import os; os.close(1)\n{SOLVE_ONE}\nos.write(2, rota.proof.name.encode())").stderr == "OPTIMAL"
    )


def fail_while_shut() -> None:
    with standard_output_shut():
        subprocess.run(["echo", "lost"], check=True)
        raise ValueError


def test_standard_output_is_given_back_even_after_an_error(capfd):
    with pytest.raises(ValueError):
        fail_while_shut()
    subprocess.run(["echo", "kept"], check=True)
    assert capfd.readouterr().out == "kept\n"


# The slot map and the next free days.


def test_the_slot_map_tells_day_n_of_n_to_m_and_frees_the_slot_on_the_last():
    rota = solve([sown("pepper", warm=5, cold=30)], [Mat("A", 3, 25.0, {0: 2})])
    rows = slot_map(rota, [Mat("A", 3, 25.0, {0: 2})], 0, 6)
    assert [(row.taken, row.free) for row in rows] == [(2, 0), (0, 2), (0, 2), (0, 2), (0, 2), (0, 3)]
    there = rows[3].standing[0]
    assert (there.sowing, there.flats, there.day_n, there.first_up, there.off) == ("pepper", 1, 3, 4, 5)
    assert rows[5].standing == ()


@pytest.mark.parametrize("seed", range(20))
def test_the_next_free_days_are_those_counted_by_hand(seed: int):
    chance = Random(seed)
    sowings = spring(40, (WARM_NODE,), chance)
    mat = mats_for(sowings, (WARM_NODE,), 0.6)[0]
    rota, flats, stay, start = (
        greedy(sowings, [mat]),
        chance.randint(1, 4),
        chance.randint(1, 9),
        chance.randrange(40),
    )
    used = [0] * 200
    for p in rota.placements:
        if p.stay:
            for day in range(p.day, p.day + p.stay.days):
                used[day] += p.flats
    by_hand = [d for d in range(start, 180) if max(used[d : d + stay]) + flats <= mat.slots][:3]
    assert list(free_days(rota, mat, flats, stay, start, wanted=3)) == by_hand


# What can't be.


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        (sown("x", flats=2), "more than any mat"),
        (sown("x", flats=2, pin=Pin(mat="A")), "more than any mat"),
        (sown("x", earliest=3, latest=2), "before it begins"),
        (sown("x", wished=10), "outside its window"),
        (sown("x", flats=0), "no flats"),
        (sown("x", weight=0.0), "can't be"),
        (sown("x", weight=math.nan), "can't be"),
        (sown("x", weight=math.inf), "can't be"),
        (sown("x", warmest_mat_c=math.nan), "no limit of warmth"),
        (sown("x", stays={"A": Stay(0, 5)}), "days to come up"),
        (sown("x", stays={"A": Stay(6, 5)}), "days to come up"),
        (sown("x", cold=0), "days to come up"),
        (sown("x", pin=Pin()), "pin of x"),
        (sown("x", pin=Pin(mat="A", without=True)), "pin of x"),
        (sown("x", pin=Pin(mat="C")), "no mat C"),
        (sown("x", pin=Pin(mat="A"), warmest_mat_c=20.0), "too hot for it"),
        (sown("x", cold=None, pin=Pin(without=True)), "aren't known"),
        (sown("x", cold=None, warmest_mat_c=20.0), "no mat is right"),
        (sown("x", may_go_without=False, stays={}), "no mat is right"),
    ],
)
def test_a_sowing_that_cannot_be_is_refused_in_words(wrong: Sowing, says: str):
    for make in (greedy, solve):
        with pytest.raises(BadInput, match=says) as refused:
            make([wrong], one_mat())
        assert refused.value.what_to_do


@pytest.mark.parametrize(
    ("mats", "says"),
    [
        ([Mat("A", 0, 25.0)], "no slots"),
        ([Mat("A", 1, math.nan)], "no set-point"),
        ([Mat("A", 1, 25.0, {3: 2})], "2 of 1 slots taken on day 3"),
        ([Mat("A", 1, 25.0, {3: -1})], "-1 of 1 slots"),
        ([Mat("A", 1, 25.0), Mat("A", 2, 20.0)], "Two mats are called A"),
    ],
)
def test_a_mat_that_cannot_be_is_refused_in_words(mats: list[Mat], says: str):
    with pytest.raises(BadInput, match=says):
        greedy([sown("x")], mats)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda rota, mat: solve([], [mat], seconds=0.0),
        lambda rota, mat: solve([], [mat], seconds=math.nan),
        lambda rota, mat: solve([], [mat], gap=1.0),
        lambda rota, mat: solve([], [mat], gap=math.nan),
        lambda rota, mat: greedy([sown("x"), sown("x")], [mat]),
        lambda rota, mat: slot_map(rota, [mat], 0, 0),
        lambda rota, mat: free_days(rota, mat, 2, 5, 0),
        lambda rota, mat: free_days(rota, mat, 0, 5, 0),
        lambda rota, mat: free_days(rota, mat, 1, 0, 0),
        lambda rota, mat: free_days(rota, mat, 1, 5, 0, wanted=0),
    ],
)
def test_what_cannot_be_asked_is_refused(wrong):
    with pytest.raises(BadInput):
        wrong(greedy([], one_mat()), one_mat()[0])
