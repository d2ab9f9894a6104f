"""Who shared a bench with a sick tray: five outbreaks worked by hand."""

from model.facts import Stay, Tray
from model.rules.sharing import shared
from tests.builders import a_tray, day

MAT, SHELF, SLATS = 1, 2, 3


def stood(number: int, *stays: tuple[int, int], ended: int | None = None) -> Tray:
    """A tray at places since days before today."""
    return a_tray(
        id=number,
        number=number,
        made_on=day(-stays[0][1]),
        stays=tuple(Stay(place, day(-since)) for place, since in stays),
        ended_on=None if ended is None else day(-ended),
    )


def exposed(sick: Tray, *others: Tray, seen: int = 0) -> list[int]:
    return [tray.number for tray in shared(sick, [sick, *others], day(-seen))]


def test_all_on_one_bench_and_none_on_another() -> None:
    sick = stood(1, (SHELF, 20))
    assert exposed(sick, stood(2, (SHELF, 20)), stood(3, (SLATS, 20)), stood(4, (SHELF, 1))) == [2, 4]


def test_the_bench_it_came_from_two_days_ago_counts_and_that_of_a_week_ago_does_not() -> None:
    sick = stood(1, (MAT, 20), (SHELF, 7), (SLATS, 2))
    assert exposed(sick, stood(2, (SHELF, 20)), stood(3, (MAT, 20)), stood(4, (SLATS, 20))) == [2, 4]


def test_a_tray_that_left_four_days_ago_was_not_exposed_one_that_left_three_days_ago_was() -> None:
    sick = stood(1, (SHELF, 20))
    assert exposed(sick, stood(2, (SHELF, 20), (SLATS, 4)), stood(3, (SHELF, 20), (SLATS, 3))) == [3]


def test_plants_that_are_gone_since_count_too_but_not_those_gone_before() -> None:
    sick = stood(1, (SHELF, 20))
    assert exposed(sick, stood(2, (SHELF, 20), ended=1), stood(3, (SHELF, 20), ended=8)) == [2]


def test_they_must_have_stood_there_on_the_same_day() -> None:
    # The sick one left the shelf three days ago, the other came to it the day after.
    sick = stood(1, (SHELF, 20), (SLATS, 3))
    assert exposed(sick, stood(2, (MAT, 20), (SHELF, 2))) == []
    # Seen two days ago: what came since isn't in its three days.
    assert exposed(sick, stood(3, (MAT, 20), (SLATS, 1)), stood(4, (MAT, 20), (SLATS, 2)), seen=2) == [4]
