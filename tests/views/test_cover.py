"""Five days away: what the helper's sheet says, and what stands there on return."""

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from model.actions import walk
from model.actions.desk import Stamp
from model.errors import BadInput
from model.facts import ActKind
from model.rules.away import Absence, AwayNight
from model.rules.verdict import Today
from model.store.database import Store, open_store
from model.views.answer import as_text
from model.views.cover import CoverView, read
from model.views.cover_words import answer
from model.views.round import read_round
from tests.views.away_farm import BACK, LEAVES, LOWS_F, at, away_farm, plan

AWAY = Absence(LEAVES, BACK)
KALE = (2, 3)


@pytest.fixture
def leaving(tmp_path: Path) -> Store:
    store = open_store(tmp_path / "farm.db", make=True)
    away_farm(store)
    return store


def sheet(store: Store, on: date = LEAVES, away: Absence = AWAY, hour: int = 6) -> CoverView:
    return read(store, on, at(on, hour).at, away, "B")


def printed(view: CoverView) -> str:
    return as_text(answer(view))


def one_line(text: str) -> str:
    return " ".join(text.split())


def words_of(view: CoverView) -> dict[date, set[AwayNight]]:
    return {day.day: {night.word for place in day.places for night in place.nights} for day in view.days}


def test_the_yard_comes_in_on_the_two_nights_that_are_forecast_under_its_line(leaving: Store) -> None:
    view = sheet(leaving)
    # 37 and 35 °F lie under 40 °F, the line of hardy plants that begin; 41 °F may yet fall under it.
    assert list(words_of(view).values()) == [
        *({AwayNight.FINE}, {AwayNight.CHECK}, {AwayNight.BRING_IN}, {AwayNight.BRING_IN}, {AwayNight.FINE}),
        set(),
    ]
    text = printed(view)
    assert "Bring in Yard by 17:00 on Sat 24 Apr and Sun 25 Apr." in text
    assert "BRING IN all 2 trays by 17:00: low 37 °F, line 40 °F" in text
    assert "check all 2 trays at 15:00 by a new forecast: low 41 °F, line 40 °F" in text
    assert text.startswith("Thu 22 Apr, evening, to Tue 27 Apr, for B\ncall: ____")
    assert max(map(len, text.splitlines())) <= 80


def test_what_runs_out_of_room_meanwhile_is_told_before_leaving(leaving: Store) -> None:
    text = one_line(printed(sheet(leaving)))
    assert "BEFORE YOU LEAVE" in text
    assert "sweet corn Amberly 1R, House: day 17 of 20; start hardening by Sun 25 Apr" in text


def test_two_planned_sowings_are_moved_to_the_side_that_is_open(leaving: Store) -> None:
    plan(leaving, "leek", "Ponty", date(2027, 6, 20), date(2027, 6, 30))
    windows = {one.what: one for one in sheet(leaving).sowings}
    assert windows == {}
    plan(leaving, "lettuce", "Pale Ivy", date(2027, 5, 14), date(2027, 5, 23))
    plan(leaving, "lettuce", "Brisk", date(2027, 5, 28), date(2027, 6, 6))
    found = {one.what: one for one in sheet(leaving).sowings}
    early, late = found["lettuce Pale Ivy"], found["lettuce Brisk"]
    assert early.end is not None
    assert LEAVES < early.end < BACK
    assert (early.move.earlier, early.move.later) == (LEAVES, None)
    assert LEAVES < late.start < BACK
    assert (late.move.earlier, late.move.later) == (None, BACK)
    text = one_line(printed(sheet(leaving)))
    assert "move it earlier, to Thu 22 Apr at the latest" in text
    assert "move it later, to Tue 27 Apr or after" in text


def test_nights_beyond_the_forecast_are_said_to_have_none(leaving: Store) -> None:
    away = Absence(LEAVES, BACK + timedelta(days=3))
    view = sheet(leaving, away=away)
    assert [day.no_forecast for day in view.days][5:8] == ["no forecast"] * 3
    assert "get one at 15:00; bring in what is under its line, 40 °F at most here" in one_line(printed(view))


def test_an_old_forecast_brings_nothing_in_and_says_how_old_it_is(leaving: Store) -> None:
    view = sheet(
        leaving, on=LEAVES + timedelta(days=1), away=Absence(LEAVES + timedelta(days=1), BACK), hour=7
    )
    assert {word for words in words_of(view).values() for word in words} == {AwayNight.UNKNOWN}
    assert {day.no_forecast for day in view.days[:-1]} == {"forecast 25 h old"}


def test_without_any_forecast_the_answer_says_so(tmp_path: Path) -> None:
    store = open_store(tmp_path / "none.db", make=True)
    away_farm(store, ())
    assert "for the others there is none" in printed(sheet(store))


def test_days_that_nobody_marked_are_unseen_on_return_and_no_day_of_hardening(leaving: Store) -> None:
    friday = LEAVES + timedelta(days=1)
    stamp: Stamp = replace(at(friday), who="B")
    walk.mark_trays(leaving, stamp, ActKind.WATERED, [KALE[0]])
    back = printed(sheet(leaving, on=BACK))
    assert "FRI 23 APR\n  House: UNSEEN 1R\n  Yard: UNSEEN 3A\n" in back
    assert "SAT 24 APR\n  House: UNSEEN 1R\n  Yard: UNSEEN 2W, 3A\n" in back
    lines = {line.number: line for line in read_round(leaving, BACK).lines}
    assert {line.seen for line in lines.values()} == {Today.UNSEEN}
    assert "unseen 4 d" in lines[KALE[0]].flags
    assert "unseen 5 d" in lines[KALE[1]].flags
    # Thursday, on which they were put out, counts for both; Friday for the one that was watered.
    words = {number: " ".join(line.why) for number, line in lines.items()}
    assert "day 2 of 7" in words[KALE[0]]
    assert "day 1 of 7" in words[KALE[1]]


def test_an_absence_too_far_ahead_is_refused_with_what_to_do(leaving: Store) -> None:
    away = Absence(LEAVES + timedelta(days=61), LEAVES + timedelta(days=63))
    with pytest.raises(BadInput, match="at most 60 days before you leave"):
        sheet(leaving, away=away)


def test_the_lows_are_those_of_the_evening_each_night_begins(leaving: Store) -> None:
    lows = [day.low_c for day in sheet(leaving).days]
    assert lows[-1] is None
    assert lows[:-1] == pytest.approx([(low - 32) / 1.8 for low in LOWS_F])
