"""What is said of lamps over seedlings, and when somebody should look at them and at their timers.

References:
    1. University extension bulletins on transplant production: lamps 2 to 3 inches above the leaves, 14 to
       16 hours a day. Read for this program; other bulletins have 4 or up to 6 inches.
"""

from datetime import date, timedelta

from model.days import clock_moved
from model.units import MM_PER_INCH

BULLETIN_HOURS = 14, 16
"""Hours a day that bulletins give lamps over seedlings [h] (reference 1)."""
BULLETIN_GAP_MM = 2 * MM_PER_INCH, 3 * MM_PER_INCH
"""Gap from lamps to leaves that bulletins give [mm] (reference 1)."""
PRACTICE_HOURS = 12
"""Hours a day that some growers do with, a couple of inches above the leaves [h]. Common practice, no source."""
CHECK_EVERY_DAYS = 3
"""How often the gap over a shelf with trays is looked at: seedlings grow into lamps in less than a week [d]. Ours."""


def check_day(today: date) -> date:
    """The next day on which lamps are looked at, today or later.

    It goes by the calendar, the same for every shelf: nobody has to enter that they looked.
    """
    return today + timedelta(days=-today.toordinal() % CHECK_EVERY_DAYS)


def reminder(today: date, zone: str) -> str:
    """What is to be done today at a shelf with lamps and trays, in a sentence or two; empty on most days."""
    told = []
    if check_day(today) == today:
        told.append("Every third day: look at the gap under the lamps.")
    if clock_moved(today, zone):
        told.append("The clocks were changed: check the timers.")
    return " ".join(told)
