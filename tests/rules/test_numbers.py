"""Which tray a number leads to, and which labels may still be about."""

from datetime import date, timedelta

from model.facts import Tray
from model.labels import Alias, label
from model.rules.numbers import ABOUT_DAYS, labels_about, leads_to, number_words
from tests.builders import TODAY, a_tray, day


def tray(tray_id: int, number: int, *aliases: tuple[int, date], ended: date | None = None) -> Tray:
    return a_tray(
        id=tray_id, number=number, aliases=tuple(Alias(*alias) for alias in aliases), ended_on=ended
    )


def test_the_tray_that_carries_a_number_now_goes_before_one_that_carried_it() -> None:
    old, new = tray(1, 51, (43, day(-11))), tray(2, 43)
    assert leads_to(43, [old, new]) is new
    assert leads_to(51, [old, new]) is old
    assert [*number_words(43, new, [old, new], TODAY)] == [
        f"{label(43)} was also on {label(51)} until Fri 3 Apr."
    ]


def test_without_one_it_leads_to_the_tray_that_carried_it_last() -> None:
    first, last = tray(1, 51, (43, day(-30))), tray(2, 60, (43, day(-3)))
    assert leads_to(43, [last, first]) is last
    assert leads_to(43, [first, last]) is last
    assert [*number_words(43, last, [first, last], TODAY)] == [
        f"{label(43)} is {label(60)} now.",
        f"{label(43)} was also on {label(51)} until Sun 15 Mar.",
    ]
    assert leads_to(44, [first, last]) is None


def test_what_carried_it_in_an_earlier_season_is_not_told() -> None:
    old, new = tray(1, 51, (43, date(TODAY.year - 1, 12, 31))), tray(2, 43)
    assert [*number_words(43, new, [old, new], TODAY)] == []


def test_a_tray_that_got_its_old_number_back_carries_it_and_did_not_lose_it() -> None:
    back = tray(1, 43, (43, day(-5)), (51, day(-2)))
    assert leads_to(43, [back]) is back
    assert [*number_words(43, back, [back], TODAY)] == []
    assert labels_about([back], TODAY) == {51: (back, day(-2))}


def test_labels_are_about_for_sixty_days_after_a_tray_left_and_as_long_as_one_stands() -> None:
    standing = tray(1, 51, (43, day(-400)))
    lately = tray(2, 60, (61, day(-70)), ended=day(-ABOUT_DAYS))
    long_gone = tray(3, 70, ended=day(-ABOUT_DAYS - 1))
    found = labels_about([standing, lately, long_gone], TODAY)
    assert found == {43: (standing, day(-400)), 60: (lately, TODAY - timedelta(days=ABOUT_DAYS))}


def test_a_number_that_stands_again_is_not_one_whose_label_is_only_about() -> None:
    assert labels_about([tray(1, 60, ended=day(-5)), tray(2, 60)], TODAY) == {}
    gone = tray(1, 60, ended=day(-9))
    later = tray(2, 60, ended=day(-5))
    assert labels_about([later, gone], TODAY) == {60: (later, day(-5))}
