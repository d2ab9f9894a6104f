"""Questions about days away."""

from datetime import date

from model.days import parse_ahead, say_day, short_day
from model.rules.absence import check_days
from tui.dialogs.ask import Flow, Type


def days_away(today: date) -> Flow[tuple[date, date]]:
    """The day of leaving and that of coming back."""

    def until(text: str) -> date:
        # A day and month are the next such day, today at the soonest: the year of leaving may be the one after.
        last = parse_ahead(text, first if text.strip()[:1] == "+" else today)[0]
        check_days(first, last, today)
        return last

    def since(text: str) -> date:
        found = parse_ahead(text, today)[0]
        check_days(found, found, today)
        return found

    first: date = yield Type(
        "Leaving on which day?", since, short_day(today), "in the evening; like 22 apr, or +1"
    )
    last: date = yield Type(
        "Back on which day?", until, "", f"like 27 apr, or +5 for five nights from {say_day(first)}"
    )
    return first, last
