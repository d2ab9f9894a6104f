"""Wishes by chance: whatever a person might do next to the trays that stand there now."""

from collections.abc import Mapping
from random import Random

from model.actions import (
    frost,
    growth,
    health,
    labelling,
    nights,
    promises,
    record,
    shift,
    sow,
    stock,
    walk,
    weather,
)
from model.actions.desk import Receipt, Stamp
from model.actions.growth import SCORES
from model.actions.shift import PotUp
from model.actions.sow import Sow, SowPart
from model.facts import ActKind, LossCause, Sowing, Tray
from model.rules import ledger
from model.rules.reasons import FINGER_WORDS
from model.rules.tonight import ANSWER
from model.store import reading, reading_owed
from model.store.database import Store
from tests.builders import day

VARIETIES = (("tomato", "Orlen"), ("kale", "Rill"), ("lettuce", "Marrel"), ("oca", "Red"))
PLACES = range(1, 7)
CORRECTIONS = ("sown_on", "cells", "seeds_per_cell", "variety")


class Chance:
    """One person's next wish, drawn from a seeded die."""

    def __init__(self, die: Random, store: Store, containers: Mapping[str, int]) -> None:
        self.die = die
        self.store = store
        self.containers = containers
        self.draws = (
            *(self.sow, self.resow, self.pot_up, self.pot_up, self.move),
            *(self.mark_trays, self.mark_place, self.up, self.count, self.thin_or_cut),
            *(self.root_look, self.finger, self.take, self.take, self.note, self.close),
            *(self.correct_sowing, self.correct_act, self.correct_act, self.night, self.plan, self.tag),
        )

    def act(self, stamp: Stamp) -> Receipt:
        """Do something; the model may refuse it."""
        return self.die.choice(self.draws)(stamp)

    def _standing(self) -> list[Tray]:
        with self.store.reading() as rows:
            return reading.standing_trays(rows)

    def _tray(self) -> Tray:
        return self.die.choice(self._standing())

    def _sowing(self) -> tuple[Tray, Sowing]:
        tray = self._tray()
        return tray, self.die.choice(tray.sowings)

    def _part(self, most: int) -> SowPart:
        crop, variety = self.die.choice(VARIETIES)
        return SowPart(
            crop, variety, self.die.randint(1, most), self.die.randint(1, 3), self.die.choice(("", "A1"))
        )

    def sow(self, stamp: Stamp) -> Receipt:
        name = self.die.choice(("72-cell tray", "open flat"))
        parts = tuple(self._part(24) for _ in range(self.die.randint(1, 3)))
        number = self.die.choice((None, None, self.die.randint(1, 12)))
        place = self.die.choice(PLACES)
        return sow.sow(self.store, stamp, Sow(self.containers[name], place, parts, stamp.act_day, number))

    def resow(self, stamp: Stamp) -> Receipt:
        tray, sowing = self._sowing()
        return sow.resow(self.store, stamp, tray.id, sowing.id, self._part(12))

    def pot_up(self, stamp: Stamp) -> Receipt:
        tray, sowing = self._sowing()
        parts = [
            PotUp(
                self.die.randint(1, 20),
                self.containers[self.die.choice(("9 cm pot", "24-cell tray"))],
                self.die.choice(PLACES),
            )
            for _ in range(self.die.randint(1, 2))
        ]
        return shift.pot_up(self.store, stamp, tray.id, sowing.id, parts, lost=self.die.randint(0, 3))

    def move(self, stamp: Stamp) -> Receipt:
        trays = self.die.sample(standing := self._standing(), self.die.randint(1, min(3, len(standing))))
        return shift.move(self.store, stamp, [tray.id for tray in trays], self.die.choice(PLACES))

    def mark_trays(self, stamp: Stamp) -> Receipt:
        kind = self.die.choice(sorted(walk.MARKS))
        return walk.mark_trays(self.store, stamp, kind, [self._tray().id, self._tray().id])

    def mark_place(self, stamp: Stamp) -> Receipt:
        tray = self._tray()
        exceptions = [tray.id] if self.die.random() < 0.3 else []
        kind = self.die.choice(sorted(walk.MARKS))
        return walk.mark_place(self.store, stamp, kind, tray.place_id, exceptions)

    def up(self, stamp: Stamp) -> Receipt:
        tray, sowing = self._sowing()
        if self.die.random() < 0.5:
            return growth.first_up(self.store, stamp, tray.id, sowing.id)
        count = self.die.choice((None, self.die.randint(0, 40)))
        return growth.half_up(self.store, stamp, tray.id, sowing.id, count)

    def count(self, stamp: Stamp) -> Receipt:
        tray, sowing = self._sowing()
        return growth.count_stand(self.store, stamp, tray.id, sowing.id, self.die.randint(0, 72))

    def thin_or_cut(self, stamp: Stamp) -> Receipt:
        tray, sowing = self._sowing()
        return self.die.choice((growth.thin, growth.cut))(self.store, stamp, tray.id, sowing.id)

    def root_look(self, stamp: Stamp) -> Receipt:
        return growth.root_look(self.store, stamp, self._tray().id, self.die.randrange(len(SCORES)))

    def finger(self, stamp: Stamp) -> Receipt:
        return growth.finger(self.store, stamp, self._tray().id, self.die.randrange(len(FINGER_WORDS)))

    def take(self, stamp: Stamp) -> Receipt:
        tray, sowing = self._sowing()
        count = self.die.choice((sowing.have, self.die.randint(1, 30)))
        if self.die.random() < 0.5:
            cause = self.die.choice(sorted(LossCause))
            return shift.lose(self.store, stamp, tray.id, sowing.id, count, cause)
        if self.die.random() < 0.5:
            return shift.retire(self.store, stamp, tray.id, sowing.id, count)
        against = self.die.choice(("", "WAIT: roots. rain tomorrow"))
        return shift.set_out(self.store, stamp, tray.id, sowing.id, count, "bed 4", against)

    def night(self, stamp: Stamp) -> Receipt:
        tray = self._tray()
        if self.die.random() < 0.3:
            return nights.keep_in(self.store, stamp, [tray.id])
        return nights.answer(self.store, stamp, {tray.id: self.die.choice(list(ANSWER.values()))})

    def tag(self, stamp: Stamp) -> Receipt:
        tray, sowing = self._sowing()
        match self.die.randrange(8):
            case 0:
                return labelling.relabel(self.store, stamp, {tray.id: self.die.randint(1, 40)})
            case 1:
                return labelling.doubt(self.store, stamp, tray.id, sowing.id)
            case 2:
                return health.looked_sick(self.store, stamp, tray.id, "spots")
            case 3:
                return health.spray(self.store, stamp, [tray.id], "soap", self.die.randint(0, 3))
            case 4:
                return growth.call(self.store, stamp, tray.id, "wilting")
            case 5:
                wish = promises.Given("plot 4", sowing.crop, "", self.die.randint(1, 30), day(20))
                return promises.promise(self.store, stamp, wish)
        return self.hand_over(stamp)

    def hand_over(self, stamp: Stamp) -> Receipt:
        tray, sowing = self._sowing()
        with self.store.reading() as rows:
            held = [found for found in reading_owed.promises(rows) if found.crop == sowing.crop]
        one = self.die.choice(held) if held else None
        share = promises.Share(tray.id, sowing.id, one.plants if one else self.die.randint(1, 30))
        return promises.hand_over(self.store, stamp, [share], "plot 4", one.id if one else None)

    def plan(self, stamp: Stamp) -> Receipt:
        if self.die.random() < 0.3:
            return stock.count_mix(self.store, stamp, self.die.randint(0, 90))
        if self.die.random() < 0.3:
            dates = {0.0: (day(10), day(10 + self.die.randint(1, 30)))}
            return frost.keep_dates(self.store, stamp, "Low Weir", dates)
        lows = [float(self.die.randint(-4, 12)) for _ in range(self.die.randint(1, 6))]
        return weather.keep_forecast(self.store, stamp, lows)

    def note(self, stamp: Stamp) -> Receipt:
        return growth.note(self.store, stamp, self._tray().id, f"note {self.die.randint(1, 9)}")

    def close(self, stamp: Stamp) -> Receipt:
        return walk.close_round(self.store, stamp)

    def correct_sowing(self, stamp: Stamp) -> Receipt:
        tray, sowing = self._sowing()
        field = self.die.choice(CORRECTIONS)
        new = {
            "sown_on": day(-self.die.randint(0, 45)).isoformat(),
            "cells": str(self.die.randint(1, 72)),
            "seeds_per_cell": str(self.die.randint(1, 4)),
            "variety": "/".join(self.die.choice(VARIETIES)),
        }[field]
        return record.correct_sowing(self.store, stamp, tray.id, sowing.id, field, new)

    def correct_act(self, stamp: Stamp) -> Receipt:
        with self.store.reading() as rows:
            acts = [
                act
                for act in reading.acts_of(rows, [self._tray().id])
                if act.kind not in ledger.MAKES_OR_MOVES_PLANTS
            ]
        if not acts:
            return self.mark_trays(stamp)
        act = self.die.choice(acts)
        field = self.die.choice(("struck", "day", "count", "score"))
        new = {
            "struck": "",
            "day": day(-self.die.randint(0, 40)).isoformat(),
            "count": str(self.die.randint(0, 40)),
            "score": str(self.die.randint(0, 4)),
        }[field]
        return record.correct_act(self.store, stamp, act.id, field, new)


def kinds_on_record(store: Store) -> set[ActKind]:
    """Which kinds of act were put down at all."""
    with store.reading() as rows:
        return {ActKind(kind) for (kind,) in rows("SELECT DISTINCT kind FROM act")}
