"""A few thousand trays of every crop, container, place, age and history: what must hold of every verdict."""

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from math import inf, isfinite
from random import Random

import pytest

from model.crops import load_crops
from model.facts import ContainerKind, Look, Mark, Sowing, Stay, Tray, Treated, Vessel
from model.rules.rank import room_due
from model.rules.verdict import Risk, SowingVerdict, Stage, Task, Verdict
from model.views.lines import TrayLine
from model.views.round import Grounds, line_of
from tests.builders import TODAY, a_tray
from tests.rules.builders import CONTAINERS, PLACES, ago, crop, judged, sown, words

CASES = 4000
FORBIDDEN = re.compile(
    r"germinat|healthy|overdue|delet|\btask|\bsafe\b|frost.?free|due date|%|\bnan\b|\binf\b|(?-i:None)|\bsync",
    re.IGNORECASE,
)
KEYS = (*load_crops(), "rue", "my own herb")


def a_history(random: Random, number: int) -> Tray:
    """Any tray that the record could hold."""
    sowings = tuple(a_life(random, part) for part in range(1, random.choice((1, 1, 1, 2, 3)) + 1))
    made = min(sowing.sown_on for sowing in sowings)
    age = (TODAY - made).days
    days = sorted({0, *(random.randint(0, age) for _ in range(random.choice((0, 1, 1, 2, 4))))})
    homes = sorted({0, *(random.randint(0, age) for _ in range(random.choice((0, 0, 1, 2))))})
    potted = len(homes) > 1
    looks = sorted(random.randint(0, age) for _ in range(random.choice((0, 0, 1, 3))))
    marks = {
        name: random.choice((None, Mark(ago(random.choice((0, 0, 1, 1, 2, 3, 9))), "Wren")))
        for name in ("seen", "watered", "left")
    }
    return a_tray(
        id=number,
        number=number,
        made_on=made + timedelta(days=homes[-1]) if potted else made,
        parent_id=7 if potted else None,
        sowings=sowings,
        stays=tuple(Stay(random.choice(list(PLACES)), made + timedelta(days=n)) for n in days),
        vessels=tuple(Vessel(random.choice(list(CONTAINERS)), made + timedelta(days=n)) for n in homes),
        looks=tuple(Look(made + timedelta(days=n), "Jory", random.randint(0, 4)) for n in looks),
        ended_on=TODAY if not any(sowing.have for sowing in sowings) else None,
        **marks,
    )


def a_life(random: Random, part: int) -> Sowing:
    """Any sowing: young or old, up or not, thinned, cut, resown, partly or wholly gone."""
    age = random.choice((0, 1, 2, 4, 6, 8, 10, 13, 17, 22, 28, 35, 45, 60, 90, 200))
    cells = random.choice((1, 8, 24, 72, 128, 288))
    seen = sorted(random.randint(0, age) for _ in range(4))
    up, half, thinned = (random.random() < chance for chance in (0.8, 0.8, 0.2))
    left = cells
    gone = {}
    for way in ("lost", "potted", "out", "empty", "retired"):
        gone[way] = random.choice((0, 0, 0, random.randint(0, left), left if random.random() < 0.05 else 0))
        left -= gone[way]
    first = ago(age - seen[0]) if up else None
    return replace(
        sown(
            random.choice(KEYS),
            age,
            part,
            cells=cells,
            seeds_per_cell=random.choice((1, 1, 2, 6, 40)),
            **gone,
        ),
        first_up=first,
        half_up=ago(age - seen[1]) if up and half else None,
        thinned_on=ago(age - seen[2]) if up and thinned else None,
        cuts=tuple(ago(age - n) for n in seen[2 : 2 + random.choice((0, 0, 1, 2))] * random.choice((1, 1, 2)))
        if up
        else (),
        treated=random.choice(list(Treated)),
    )


@cache
def trays() -> tuple[Tray, ...]:
    random = Random(20260414)
    return tuple(a_history(random, number) for number in range(1, CASES + 1))


@cache
def lines() -> tuple[TrayLine, ...]:
    on = Grounds(PLACES, CONTAINERS, {key: crop(key) for key in KEYS})
    return tuple(line_of(this, on, TODAY) for this in trays())


@cache
def judgements() -> tuple[Verdict, ...]:
    return tuple(judged(this) for this in trays())


def verdicts() -> Iterator[tuple[Tray, Sowing, SowingVerdict]]:
    for this, verdict in zip(trays(), judgements(), strict=True):
        yield from ((this, *pair) for pair in zip(this.sowings, verdict.sowings, strict=True))


def test_the_sweep_meets_every_crop_container_place_stage_and_risk():
    assert {sowing.crop for this in trays() for sowing in this.sowings} == set(KEYS)
    assert {this.container_id for this in trays()} == set(CONTAINERS)
    assert {this.place_id for this in trays()} == set(PLACES)
    found = Counter(verdict.stage for _, _, verdict in verdicts())
    assert set(found) == set(Stage)
    assert {verdict.risk for _, _, verdict in verdicts()} == set(Risk)
    assert {due.task for _, _, verdict in verdicts() for due in verdict.due} == set(Task)


def test_a_fill_lies_in_its_band_and_a_band_between_nothing_and_all():
    for this, _, verdict in verdicts():
        if verdict.fill is not None:
            fill = verdict.fill
            assert 0 <= fill.low <= fill.expected <= fill.high <= 1, this


def test_every_window_starts_before_it_ends():
    for this, _, verdict in verdicts():
        windows = [due.window for due in verdict.due] + ([verdict.ready] if verdict.ready else [])
        assert all(window.end is None or window.start <= window.end for window in windows), this


def test_a_why_has_at_most_eight_words():
    for this, _, verdict in verdicts():
        for text in (verdict.why_now, *(due.why for due in verdict.due)):
            assert 1 <= words(text) <= 8, (text, this)


def test_every_verdict_has_a_reason_with_figure_unit_and_source():
    for this, _, verdict in verdicts():
        assert 1 <= len(verdict.reasons) <= 4, this
        for reason in verdict.reasons:
            assert reason.text, this
            assert reason.unit, this
            assert reason.source, this
            assert isfinite(reason.figure), this


def test_no_text_says_what_it_must_not():
    for this, _, verdict in verdicts():
        texts = [verdict.why_now, verdict.stage, verdict.risk, *verdict.flags]
        texts += [text for due in verdict.due for text in (due.why, due.task)]
        texts += [reason.text for reason in verdict.reasons] + [reason.source for reason in verdict.reasons]
        for text in texts:
            assert not FORBIDDEN.search(text), (text, this)


def test_risk_is_known_exactly_where_growth_is_or_somebody_looked():
    for this, sowing, verdict in verdicts():
        grows = crop(sowing.crop).growth_rate > 0
        if verdict.risk is Risk.UNKNOWN:
            assert not grows, this
        if not grows and not this.looks and verdict.stage is not Stage.OUT:
            flat = CONTAINERS[this.container_id].kind is ContainerKind.OPEN_FLAT
            assert verdict.risk is (Risk.ROOM if flat and crop(sowing.crop).cut_again else Risk.UNKNOWN), this
        assert (verdict.fill is not None) == (grows and sowing.have > 0), this


def test_what_is_due_is_sorted_open_first_and_the_most_pressing_of_those():
    for this, verdict in zip(trays(), judgements(), strict=True):
        dues = verdict.due
        now = [due for due in dues if due.open_on(TODAY)]
        assert dues[: len(now)] == tuple(now), this
        coming = [due.window.start for due in dues[len(now) :]]
        assert coming == sorted(coming), this
        pressing = [room_due(due, TODAY) for due in now if due.task is not Task.PAST]
        assert pressing == sorted(pressing), this
        assert Task.PAST not in [due.task for due in now[: len(pressing)]], this


def test_room_is_never_more_than_anything_due_leaves():
    for this, sowing, verdict in verdicts():
        if sowing.have:
            assert verdict.room_days <= min((room_due(due, TODAY) for due in verdict.due), default=inf), this


def test_no_sowing_is_asked_twice_for_one_thing():
    for this, _, verdict in verdicts():
        assert max(Counter(due.task for due in verdict.due).values(), default=1) == 1, this


def test_what_is_gone_asks_for_nothing():
    for this, sowing, verdict in verdicts():
        assert (verdict.stage is Stage.OUT) == (sowing.have == 0), this
        if sowing.have == 0:
            assert (verdict.due, verdict.flags, verdict.room_days) == ((), (), inf), this


def test_the_words_of_a_line_fit_their_columns():
    for line in lines():
        assert len(line.due_words) <= 18, line
        assert len(line.water_words) <= 6, line
        assert 2 <= len(line.why) <= 4, line
        assert all(line.why), line
        assert bool(line.due_words) == bool(line.due), line
        assert not FORBIDDEN.search(" ".join((*line.why, line.due_words, line.water_words))), line


def test_what_is_still_to_come_always_names_its_day():
    for line in lines():
        if line.due and not line.due[0].open_on(TODAY):
            start = line.due[0].window.start
            assert re.search(rf"\b{start.day}\b", line.due_words), line
            assert not line.due_now, line


@pytest.mark.parametrize("ahead", [0, 1, 30, 300])
def test_a_day_before_its_acts_breaks_nothing(ahead: int):
    """A round may be asked for as of an earlier day than the newest act on record."""
    earlier: date = TODAY - timedelta(days=ahead)
    for this in trays()[:300]:
        verdict = judged(this, earlier)
        assert verdict.leading.reasons, this
        assert "nan" not in repr(verdict).lower(), this
