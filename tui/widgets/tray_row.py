"""One tray as one row of text: which columns there are at a width, and what stands in each, in which tone."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from model.rules.verdict import CALL, HANDS_OFF, Risk, Today
from model.text import clean
from model.views.lines import TrayLine
from tui.text import fit, fit_right
from tui.widgets.bar import bar, fill_tone, scale, scale_words
from tui.words import FLAG_WORDS, RISK_WORDS, Signs

LABEL = 5
AGE = 9
LEAD = 1 + LABEL + 1 + 1
"""Cursor sign, label, a gap and today's sign: these stand at every width."""
CROP_MOST = 24
"""Room beyond this goes to the note or to what is due."""
ROOT_BOUND = "root-bound"
THIRST = "!"
"""Behind the water words where nobody has watered since the day before yesterday: colour alone tells nothing."""

Part = tuple[str, str]
"""A run of text and its tone."""


@dataclass(frozen=True, slots=True)
class Columns:
    """Widths of the columns that differ with the room there is; 0 is a column left out."""

    gap: int
    crop: int
    place: int
    bar: int
    due: int
    water: int
    flag: int
    note: int
    why: int

    @property
    def age(self) -> int:
        """The ages stand where the bar stands: together they say how far a tray is."""
        return AGE if self.bar else 0

    @property
    def before_bar(self) -> int:
        """Where the bar begins."""
        return LEAD + self.age + self.taken(self.crop) + self.gap

    def taken(self, width: int) -> int:
        """A column's width with the gap before it."""
        return width + self.gap if width else 0


# From the widest down: least width, gap, place, bar, due, water, flag, note, why. The crop takes what is left.
# Thirteen cells are the shortest bar over which the names of the first two marks stand apart.
PLAIN = (
    (120, 2, 0, 24, 18, 6, 5, 14, 0),
    (100, 2, 0, 18, 20, 6, 5, 0, 0),
    (80, 1, 0, 13, 18, 6, 5, 0, 0),
    (70, 1, 0, 13, 18, 6, 0, 0, 0),
    (0, 1, 0, 13, 18, 0, 0, 0, 0),
)
# With the place, the question is what and why; the bar comes back where there is room for all of it.
PLACED = (
    (120, 2, 10, 13, 15, 0, 0, 0, 33),
    (100, 2, 12, 0, 15, 0, 5, 0, 33),
    (80, 1, 9, 0, 15, 0, 0, 0, 29),
    (0, 1, 0, 0, 15, 0, 0, 0, 22),
)


@cache
def columns(width: int, show_place: bool) -> Columns:
    """The columns at a width. Label, today's sign and what is due are at every width."""
    presets = PLACED if show_place else PLAIN
    _, gap, place, bar_width, due, water, flag, note, why = next(p for p in presets if width >= p[0])
    others = (place, bar_width, due, water, flag, note, why)
    lead = LEAD + (AGE if bar_width else 0)
    left = width - lead - gap - sum(column + gap for column in others if column)
    crop = max(0, min(left, CROP_MOST))
    spare = max(0, left - crop)
    if note:
        note += spare
    elif why:
        why += spare
    else:
        due += spare
    return Columns(gap, crop, place, bar_width, due, water, flag, note, why)


def flag_word(line: TrayLine) -> str:
    """The one word at the end of a row: act before nearly any flag that has a short word, watch after them."""
    # A call is for the grower, and what a label forbids comes before whatever is due.
    if line.risk is Risk.ACT and not {CALL, HANDS_OFF} & set(line.flags):
        return RISK_WORDS[Risk.ACT]
    for begins, word in FLAG_WORDS.items():
        if any(flag.startswith(begins) for flag in line.flags):
            return word
    return RISK_WORDS[Risk.WATCH] if line.risk is Risk.WATCH else ""


def flag_tone(word: str) -> str:
    """The tone of a flag word."""
    return {RISK_WORDS[Risk.ACT]: "crowding", RISK_WORDS[Risk.WATCH]: "ink"}.get(word, "note")


def water_tone(line: TrayLine) -> str:
    """The tone of the water words: it repeats whether they name today, yesterday or longer ago."""
    if line.seen in (Today.WATERED, Today.LEFT):
        return "quiet"
    return "ink" if line.water_words in ("today", "1 d") else "thirst"


def note_words(line: TrayLine) -> str:
    """The flags, without the risk that the flag word says already; or else why something is due now."""
    flags = ", ".join(flag for flag in line.flags if not flag.startswith(ROOT_BOUND))
    return flags or (line.why_now if line.due_now else "")


def bar_parts(line: TrayLine, width: int, signs: Signs) -> Iterator[Part]:
    """The bar, or the words that stand in its place."""
    if line.instead or line.fill is None:
        yield fit(line.instead, width, signs.more), "quiet"
        return
    tone = fill_tone(line.fill)
    solid, dense, light, rest = bar(line.fill, width, signs)
    yield solid, f"{tone}-solid"
    yield dense, f"{tone}-dense"
    yield light, f"{tone}-light"
    yield rest, "rule"


def lead_parts(line: TrayLine, cols: Columns, signs: Signs) -> Iterator[Part]:
    """Label, today's sign and the two ages. A tray unseen today stands out; the others go quiet."""
    unseen = line.seen is Today.UNSEEN
    yield fit_right(line.label, LABEL, signs.more), "strong" if unseen else "quiet"
    yield " " + signs.today(line.seen), "strong" if unseen else "quiet"
    age = f"{f'd{line.age_days}':>4} {signs.apart}{line.here_days:>3}"
    yield fit_right(age, cols.age, signs.more), "quiet"


def row_parts(line: TrayLine, cols: Columns, signs: Signs, cursor: bool) -> Iterator[Part]:
    """The whole row in runs of one tone."""
    gap = " " * cols.gap
    yield signs.cursor if cursor else " ", "strong"
    yield from lead_parts(line, cols, signs)
    if cols.crop:
        name = clean(f"{line.crop} {line.variety}", cols.crop * 2)
        yield gap + fit(name, cols.crop, signs.more), "ink" if line.seen is Today.UNSEEN else "quiet"
    if cols.bar:
        yield gap, "ink"
        yield from bar_parts(line, cols.bar, signs)
    if cols.place:
        yield gap + fit(clean(line.place), cols.place, signs.more), "quiet"
    due = (line.due_task if line.due_now else "see it") if cols.why else line.due_words
    yield gap + fit(clean(due), cols.due, signs.more), "strong" if line.due_now else "quiet"
    if cols.water:
        tone = water_tone(line)
        yield gap + fit(clean(line.water_words) + THIRST * (tone == "thirst"), cols.water, signs.more), tone
    if cols.flag:
        word = flag_word(line)
        yield gap + fit(word, cols.flag, signs.more), flag_tone(word)
    if cols.note:
        yield gap + fit(clean(note_words(line)), cols.note, signs.more), "quiet"
    if cols.why:
        yield gap + fit(clean(line.why_now), cols.why, signs.more), "ink"


def heading_scale(cols: Columns, width: int, signs: Signs, where: str) -> str:
    """The first line of the heading: the names of the marks, and at the right which rows are in sight."""
    if not cols.bar:
        return fit("", width - len(where)) + where
    room = max(0, width - cols.before_bar - len(where) - 2)
    words = scale_words(cols.bar, min(room, cols.bar + cols.gap + cols.due))
    return fit(" " * cols.before_bar + words, width - len(where), signs.more) + where


def heading_names(cols: Columns, signs: Signs) -> tuple[str, str, str]:
    """The second line of the heading: the names before the bar, the ruler, the names after it."""
    gap = " " * cols.gap
    before = " " + "no.".rjust(LABEL) + "  " + f"sown{signs.apart}here".rjust(AGE)[: cols.age]
    if cols.crop:
        before += gap + fit("crop, variety", cols.crop, signs.more)
    named = (
        ("place", cols.place),
        ("due", cols.due),
        ("water", cols.water),
        ("", cols.flag),
        ("note", cols.note),
        ("why", cols.why),
    )
    after = "".join(gap + fit(name, width, signs.more) for name, width in named if width)
    return (before + gap, scale(cols.bar, signs), after) if cols.bar else (before, "", after)
