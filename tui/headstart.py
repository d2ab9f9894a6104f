"""A head start: the round is read in a second process while this one is still importing the screen.

Reading and importing both keep a processor busy, so threads of one process would only take turns. The second
process reads and is gone; whatever goes wrong there, the record is then opened in the usual way, which also says
what is wrong.
"""

import os
import pickle
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from model.days import Clock, farm_day
from model.views.lines import RoundView

if TYPE_CHECKING:
    from model.actions.opening import Where

Found = tuple[dict[str, str], RoundView]
"""Settings and round, as the second process read them."""
WHOLE, BROKEN_OFF = 0, 1
"""Exit codes of the second process."""


def read_ahead(where: "Where", clock: Clock, on: date | None) -> int | None:
    """Begin to read; the end of a pipe to be handed to `found`, or None where there is no head start to be had.

    A server is read by the first process alone: where it can't be reached, waiting twice helps nobody.
    To be called before this process has a second thread, since a thread doesn't survive the fork.
    """
    if not hasattr(os, "fork") or not isinstance(where, Path) or not where.is_file():
        return None
    reader, writer = os.pipe()
    if os.fork() == 0:
        code = BROKEN_OFF
        try:
            os.close(reader)
            with os.fdopen(writer, "wb") as pipe:
                pickle.dump(_read(where, clock, on), pipe, protocol=5)
            code = WHOLE
        finally:
            # Nothing of the first process may be cleaned up twice.
            os._exit(code)
    os.close(writer)
    return reader


def _read(path: Path, clock: Clock, on: date | None) -> Found | None:
    from model.actions.opening import open_farm
    from model.errors import TrayroundError
    from model.views.round import read_round
    from model.views.settings import read_settings

    try:
        store = open_farm(path)
        settings = read_settings(store)
        if not settings:
            return None
        return settings, read_round(store, on or farm_day(clock.now(), settings.get("zone", "UTC")))
    except TrayroundError:
        return None


def found(reader: int) -> Found | None:
    """What the second process found; None where it found nothing or was broken off."""
    with os.fdopen(reader, "rb") as pipe:
        data = pipe.read()
    _, status = os.wait()
    return pickle.loads(data) if status == WHOLE else None
