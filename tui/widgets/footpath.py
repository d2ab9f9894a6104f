"""The footpath: the places in the order of feet, with what is still unseen in each."""

from rich.cells import cell_len
from rich.segment import Segment
from textual.strip import Strip
from textual.widget import Widget

from model.text import clean
from model.views.lines import PlaceLine
from tui.text import fit
from tui.words import Signs

GAPS = (3, 2)
"""Columns between places, wide before narrow."""
NAME_LEAST = 4
"""Names are shortened to this many columns before places are left out."""
NAME_NEAR = 8
"""Room for a name once places are left out."""
NAME_HERE = 12
"""Room for the name of the place where one stands."""
MARGIN = 1


class Footpath(Widget):
    """One line: "mat ✓   shelf ✓   › slats 14 ‹   frame 6". It is also how far the morning has come."""

    COMPONENT_CLASSES = {"footpath--here", "footpath--done", "footpath--ahead"}

    DEFAULT_CSS = """
    Footpath {
        height: 1; background: $ground; color: $quiet;
        & > .footpath--here { color: $ink; background: $cursor; text-style: bold; }
        & > .footpath--done { color: $quiet; }
        & > .footpath--ahead { color: $ink; }
    }
    """

    def __init__(self, signs: Signs, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._signs = signs
        self._places: tuple[PlaceLine, ...] = ()
        self._here: int | None = None

    def show(self, places: tuple[PlaceLine, ...], here: int | None) -> None:
        """Show these places in this order, standing at the place with id `here`."""
        self._places, self._here = places, here
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """The one line."""
        width = self.size.width
        tones = {
            name: self.get_component_rich_style(f"footpath--{name}") for name in ("here", "done", "ahead")
        }
        parts = path_parts(self._places, self._here, width - 2 * MARGIN, self._signs)
        segments = [Segment(text, tones.get(tone, self.rich_style)) for text, tone in parts]
        return Strip([Segment(" " * MARGIN, self.rich_style), *segments]).adjust_cell_length(
            width, self.rich_style
        )


def path_parts(
    places: tuple[PlaceLine, ...], here: int | None, width: int, signs: Signs
) -> list[tuple[str, str]]:
    """The line in runs of text and tone: whole, or closer, or with short names, or only what is near."""
    if not places or width <= 0:
        return []
    longest = max(cell_len(clean(place.name)) for place in places)
    shorter = [(GAPS[-1], name_width) for name_width in range(min(longest - 1, width), NAME_LEAST - 1, -1)]
    for gap, name_width in [*((gap, longest) for gap in GAPS), *shorter]:
        stops = [stop(place, here, name_width, signs) for place in places]
        if path_width(stops, gap) <= width:
            return joined(stops, gap)
    stops = [stop(place, here, NAME_NEAR, signs) for place in places]
    at = next((index for index, place in enumerate(places) if place.place_id == here), 0)
    return joined(nearest(stops, at, width, signs), GAPS[-1])


def stop(place: PlaceLine, here: int | None, name_width: int, signs: Signs) -> tuple[str, str]:
    """One place: its name and what is unseen, a tick when all was seen, 0 when nothing stands there.

    Where one stands the name stays as whole as it can.
    """
    name = clean(place.name)
    name_width = max(name_width, NAME_HERE) if place.place_id == here else name_width
    name = fit(name, name_width, signs.more).rstrip() if cell_len(name) > name_width else name
    count = signs.done if place.trays and not place.unseen else str(place.unseen)
    if place.place_id == here:
        back = {"›": "‹", ">": "<"}[signs.cursor]
        return f"{signs.cursor} {name} {count} {back}", "here"
    return f"{name} {count}", "ahead" if place.unseen else "done"


def path_width(stops: list[tuple[str, str]], gap: int) -> int:
    """Columns that the stops take."""
    return sum(cell_len(text) for text, _ in stops) + gap * (len(stops) - 1)


def joined(stops: list[tuple[str, str]], gap: int) -> list[tuple[str, str]]:
    """The stops with blanks between them."""
    parts: list[tuple[str, str]] = []
    for index, part in enumerate(stops):
        if index:
            parts.append((" " * gap, "ground"))
        parts.append(part)
    return parts


def nearest(stops: list[tuple[str, str]], at: int, width: int, signs: Signs) -> list[tuple[str, str]]:
    """As many stops around `at` as fit, what lies ahead first, with a sign where some are left out."""
    first, last = at, at
    grown = True
    while grown:
        grown = False
        for low, high in ((first, last + 1), (first - 1, last)):
            if (
                low >= 0
                and high < len(stops)
                and path_width(window(stops, low, high, signs), GAPS[-1]) <= width
            ):
                first, last, grown = low, high, True
                break
    return window(stops, first, last, signs)


def window(stops: list[tuple[str, str]], first: int, last: int, signs: Signs) -> list[tuple[str, str]]:
    """The stops from first to last, with a sign at an end where there are more."""
    more = (signs.more, "done")
    before = [more] if first else []
    after = [more] if last < len(stops) - 1 else []
    return [*before, *stops[first : last + 1], *after]
