"""The open record, who is at it and what day it is. The screens ask here and send their wishes here.

Everything that touches the file runs in one thread, so wishes are kept in the order of the keys and a slow
disk never freezes the screen.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING, TypeVar

from model.days import Clock, farm_day
from model.errors import TrayroundError
from model.views.lines import RoundView

if TYPE_CHECKING:
    from model.actions.desk import Receipt, Stamp
    from model.actions.opening import Store, Where
    from model.rules.outlook import Outlooks
    from model.views.choices import Choices
    from model.views.outlook import Reckoned
    from model.views.timings import TimingsPage
    from model.views.tray import TrayPage
    from tui.headstart import Found

    Wish = Callable[[Store, Stamp], Receipt]

T = TypeVar("T")

WHO = "person"
"""The setting that says who is on the round; each window keeps its own while it is open."""


class Session:
    """One farm, opened. `view` is the round as it was last read."""

    def __init__(
        self,
        path: Where,
        clock: Clock,
        *,
        on: date | None = None,
        make: bool = True,
        helper: str = "",
        ahead: Callable[[], Found | None] = lambda: None,
    ) -> None:
        self.path = path
        self.clock = clock
        self.on = self.asked_on = on
        self.told_at: datetime | None = None
        """When what is entered was done, while it is entered from paper."""
        self.make = make
        self.helper = helper
        """Who stands in, where somebody does."""
        self.view: RoundView | None = None
        self.settings: dict[str, str] = {}
        self._store: Store | None = None
        self._ahead = ahead
        self.touched = False
        """Whether anything was entered since the record was opened."""
        self._reckoned: Reckoned | None = None
        self._thread = ThreadPoolExecutor(max_workers=1, thread_name_prefix="record")
        self._slow = ThreadPoolExecutor(max_workers=1, thread_name_prefix="forecast")
        self._opening = self._thread.submit(self._open)

    @property
    def today(self) -> date:
        """The calendar day at the farm, or the day that was asked for."""
        return self.on or farm_day(self.clock.now(), self.settings.get("zone", "UTC"))

    @property
    def person(self) -> str:
        """Who is on the round."""
        return self.helper or self.settings.get(WHO, "grower")

    async def open(self) -> RoundView:
        """The day's round, once the file is open."""
        return await asyncio.wrap_future(self._opening)

    def _open(self) -> RoundView:
        found = self._ahead()
        if found is not None:
            self.settings, self.view = found
            return self.view
        from model.views.settings import read_settings

        self.settings = read_settings(self.store)
        return self._read()

    def _read(self) -> RoundView:
        from model.views.round import read_round

        found = self._reckoned
        thirsts = found.thirsts if found is not None and found.on == self.today else None
        self.view = read_round(self.store, self.today, self.outlooks, thirsts)
        return self.view

    @property
    def outlooks(self) -> Outlooks | None:
        """Today's forecast; None while those that were kept must do."""
        found = self._reckoned
        return found.outlooks if found is not None and found.on == self.today else None

    @property
    def store(self) -> Store:
        """The open record; asked for in the record's own thread only."""
        if self._store is None:
            from model.actions.opening import open_farm

            self._store = open_farm(self.path, make=self.make)
        return self._store

    async def warm(self) -> None:
        """Load what writing needs, once the round is on the screen."""
        from model.actions.opening import load_writers

        await self._in_thread(load_writers)

    async def read_again(self) -> RoundView:
        """Read the whole round anew: another day, another window, other settings."""
        from model.views.settings import read_settings

        def again() -> RoundView:
            # Who is at another window is no matter of this one.
            here = {name: self.settings[name] for name in (WHO,) if name in self.settings}
            self.settings = read_settings(self.store) | here
            return self._read()

        return await self._in_thread(again)

    async def do(self, wish: Wish) -> Receipt:
        """Carry out a wish; it is durable, and the view is new, when this returns."""

        def work() -> Receipt:
            from model.actions.desk import Stamp
            from model.views.round import reread

            stamp = Stamp(self.person, self.clock.now(), self.today, told_at=self.told_at)
            receipt = wish(self.store, stamp)
            self.touched = True
            view, alone = self.view, False
            if view is not None and view.on == self.today:
                alone = view.last_entry + 1 == receipt.entry_id
            # What is durable is done, even where it can't be read again just now.
            with suppress(TrayroundError):
                if view is not None and alone:
                    self.view = reread(self.store, view, receipt.tray_ids, self.outlooks)
                else:
                    self._read()
            return receipt

        return await self._in_thread(work)

    async def forecast(self) -> None:
        """Reckon the day's forecast from the whole record, in a thread of its own, and read the round on it."""
        from model.views.outlook import reckon

        def work() -> None:
            # Set in its own thread, which does one thing after the other: an entry made meanwhile is reckoned on it.
            self._reckoned = reckon(self.store, self.today)

        await self.apart(work)
        await self._in_thread(self._read)

    async def refine(self, tray_ids: Sequence[int]) -> None:
        """Reckon anew the forecast of trays that an entry touched."""
        from model.views.outlook import reckon_some
        from model.views.round import reread

        def work() -> bool:
            before = self._reckoned
            if before is None or before.on != self.today:
                return False
            self._reckoned = reckon_some(self.store, before, tray_ids)
            return True

        def read() -> None:
            found, view = self._reckoned, self.view
            if found is not None and view is not None and found.on == view.on:
                fresh = reread(self.store, view, tray_ids, found.outlooks, found.thirsts)
                # What another window entered meanwhile is still news.
                self.view = replace(fresh, last_entry=view.last_entry)

        reckoned = await self.apart(work) if tray_ids else False
        if reckoned:
            await self._in_thread(read)

    async def timings(self) -> TimingsPage:
        """How long things take here."""
        from model.views.outlook import reckon
        from model.views.timings import read_timings

        def work() -> TimingsPage:
            if self._reckoned is None:
                self._reckoned = reckon(self.store, self.today)
            return read_timings(self.store, self._reckoned.past)

        return await self.apart(work)

    async def agree(self, crop: str, used: bool) -> None:
        """Whether a crop's own growth holds; the forecast is reckoned anew."""
        from model.actions.outlook import agree

        await self._in_thread(lambda: agree(self.store, crop, used, self.today))
        await self.forecast()

    @property
    def to_ask(self) -> tuple[str, ...]:
        """Crops about whose own growth the grower is to be asked."""
        return self._reckoned.past.to_ask() if self._reckoned else ()

    async def news(self) -> bool:
        """Whether another window has entered something since the round was read, or a new day has begun."""
        from model.views.round import newest_entry

        view = self.view
        if view is None or view.on != self.today:
            return view is not None
        return await self._in_thread(lambda: newest_entry(self.store)) != view.last_entry

    async def change(self, change: Callable[[Store], object]) -> RoundView:
        """Change the farm itself: a setting, a place, a container, who is on the round."""

        def work() -> RoundView:
            from model.actions.farm import name_person
            from model.views.settings import read_settings

            here = self.settings.get(WHO, "")
            if here and read_settings(self.store).get(WHO) != here:
                name_person(self.store, here)
            change(self.store)
            self.settings = read_settings(self.store)
            return self._read()

        return await self._in_thread(work)

    async def choices(self) -> Choices:
        """What the questions offer."""
        from model.views.choices import read_choices

        return await self._in_thread(lambda: read_choices(self.store))

    async def page(self, tray_id: int) -> TrayPage:
        """Everything about one tray."""
        from model.views.tray import read_page

        return await self._in_thread(lambda: read_page(self.store, tray_id, self.today, self.outlooks))

    async def answer(self, question: Callable[[Store], T]) -> T:
        """What a view says to a question that only one screen has."""
        return await self._in_thread(lambda: question(self.store))

    def _keep_outlooks(self) -> None:
        from model.actions.outlook import keep_outlooks

        # A look at another day must not be what the next morning opens on.
        if self._reckoned is not None and self.on is None:
            # A file that can't be written is forecast anew the next time.
            with suppress(TrayroundError):
                keep_outlooks(self.store, self._reckoned.outlooks.values())

    async def apart(self, work: Callable[[], T]) -> T:
        """Something long, in the forecast's thread: keys are done meanwhile."""
        return await asyncio.get_running_loop().run_in_executor(self._slow, work)

    async def _in_thread(self, work: Callable[[], T]) -> T:
        return await asyncio.get_running_loop().run_in_executor(self._thread, work)

    def close(self) -> None:
        """Wait for what is being written, keep the forecast for the next opening, then let go of the file."""
        self._slow.shutdown(wait=True)
        self._thread.submit(self._keep_outlooks)
        self._thread.shutdown(wait=True)
        if self._store is not None:
            self._store.close()
