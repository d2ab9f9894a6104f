"""The plan in words: what the page and the command say."""

from collections.abc import Sequence
from datetime import date, timedelta
from itertools import islice
from math import isfinite

from model.ahead import Purpose
from model.crops import variety_name
from model.days import say_day, say_window, short_day
from model.facts import ContainerKind
from model.labels import label
from model.rules.due import PUBLISHED_CUT
from model.rules.planning import BY_HABIT, BY_PLACE, BY_PLUG, STAGE_SLACK, STAGES, WEEK, Planned
from model.rules.verdict import Knows, Window
from model.science.quantities import ML_A_LITRE
from model.text import clean, cut, fit
from model.units import Measure, show_depth, show_temperature, show_volume
from model.views.answer import MOST_WHY, WIDTH, Answer, AnswerLine
from model.views.plan import WEEKS, Aside, PlaceLoad, PlanView

STRIP = "▁▂▃▄▅▆▇█"
"""How full a place is, an eighth a step."""
OVER = "!"
STATE, NAME, SOW, TRAYS = 7, 21, 14, 15
"""Widths of the columns; the day wanted takes what is left."""
HEADING = f"{'':{STATE}}{'crop and variety':{NAME}}{'sow':{SOW}}{'trays':{TRAYS}}wanted"
LINE = WIDTH - 2
"""Columns of a line beside which a scrollbar stands."""
WHY_WIDTH = 72
"""Columns of a reason, which stands a little in."""
NAMES_WIDTH = 50
"""Columns for the names in a sentence of the answer."""
MOST_SAID = 3
"""Lines of the answer; the notes have every overflow."""


def plan_answer(view: PlanView) -> Answer:
    """The plan: what was missed, what to sow this week, which place overflows; then each line."""
    lines = [_line(view, one) for one in view.planned]
    lines += [
        AnswerLine(
            cut(
                f"{'?':{STATE}}{_name(target.crop, target.variety):{NAME}}how long it takes isn't known", LINE
            ),
            ("Say where it grows (c), or take a crop with published weeks.",),
            key=target.id,
        )
        for target in view.uncounted
    ]
    return Answer(
        title="plan",
        answer=_said(view),
        lines=tuple(lines),
        heading=HEADING if lines else "",
        notes=_notes(view) if lines else (),
    )


def _said(view: PlanView) -> tuple[str, ...]:
    if not view.planned and not view.uncounted:
        return ("Nothing is planned.  a adds what you want, and when.",)
    missed, due = view.missed, [*view.missed, *view.this_week]
    trays = sum(one.left for one in due)
    said = []
    if missed:
        said.append(f"Planned and not sown: {_names(missed)}.")
    if due:
        lines = f"{len(due)} {'lines' if len(due) != 1 else 'line'}"
        said.append(
            f"Sow this week: {trays} {_trays(trays)}, {lines}{', what was missed among them' if missed else ''}."
        )
    else:
        said.append(_next(view))
    over = _overflows(view) or [f"No place overflows in {WEEKS} weeks."]
    return tuple(cut(words, LINE) for words in [*said, *over][:MOST_SAID])


def _names(ones: Sequence[Planned]) -> str:
    """The names where they fit a line, else the first of them and how many more."""
    names = list(dict.fromkeys(_name(one.target.crop, one.target.variety) for one in ones))
    for shown in range(len(names), 0, -1):
        more = f" and {len(names) - shown} more" if shown < len(names) else ""
        words = ", ".join(names[:shown]) + more
        if len(words) <= NAMES_WIDTH:
            return words
    return f"{len(ones)} lines"


def _next(view: PlanView) -> str:
    coming = [one for one in view.planned if one.left]
    if coming:
        return f"Nothing to sow this week; next from {say_day(coming[0].sow.start)}."
    return "All is sown that can be counted back."


def _overflows(view: PlanView) -> list[str]:
    """Each place that is over, with its first week, in words, the soonest first."""
    found = [(over, load) for load in view.loads if (over := load.over())]
    said = []
    for (week, by), load in sorted(found, key=lambda pair: (pair[0][0], pair[1].name)):
        words = f"{load.name}: over by {by} {_trays(by)} in the week of {say_day(_monday(view.on, week))}"
        crowd = view.crowd.get(load.place_id)
        said.append(f"{words} ({crowd})" if crowd else words)
    return said


def _line(view: PlanView, one: Planned) -> AnswerLine:
    target, aside = one.target, view.asides[one.target.id]
    state, tone = _state(view, one)
    end = one.sow.end or one.sow.start
    sow = say_window(one.sow.start, end, min(view.on, end))
    # Pots are taken one by one; a tray is a tray however many of its cells are sown.
    count = one.cells_left if aside.kind is ContainerKind.POT else one.left
    trays = (
        f"{count} x {aside.container.split(',')[0].removesuffix(' tray')}"
        if one.left
        else f"{len(one.sown)} sown"
    )
    first = target.first_day
    day = say_day(first) if first.year == view.on.year else f"{short_day(first)} {first.year}"
    wanted = f"{target.plants} {'on' if first == target.last_day else 'from'} {day}"
    name = _name(target.crop, target.variety)
    text = f"{state:{STATE}}{_fit(name, NAME)}{_fit(sow, SOW)}{_fit(trays, TRAYS)}{wanted}"
    return AnswerLine(cut(text, LINE), why(one, aside, view), tone, key=target.id)


def _state(view: PlanView, one: Planned) -> tuple[str, str]:
    if not one.left:
        return "sown", "quiet"
    if one.missed(view.on):
        # The published weeks may still be open where growth as it is at the place says otherwise.
        still = one.published
        return ("late" if still and still.end and view.on <= still.end else "missed"), "crowding"
    return ("now", "ready") if one in view.this_week else ("", "")


def why(one: Planned, aside: Aside, view: PlanView) -> tuple[str, ...]:
    """How the days were counted back, what the sowing takes and how sure that is; at most four lines."""
    days, target = one.days, one.target
    to = f"to {target.stage}" if target.stage in STAGES else "growing"
    up = f"on {days.here.mat.name}" if days.here.mat else "coming up"
    counted = (
        f"{say_day(target.first_day, view.on)} less {_days(days.harden.lo, days.harden.hi)} hardening, "
        f"{_days(days.growing.lo, days.growing.hi)} {to}, {_days(days.emergence.lo, days.emergence.hi)} {up}"
    )
    found = [counted, _beside(one, aside), _takes(one, aside, view.measure)]
    if one.missed(view.on):
        found.insert(
            0, f"its last day was {say_day(one.sow.end or one.sow.start)}; {late_words(one, view.on)}"
        )
    elif aside.too_many:
        found.append(aside.too_many)
    elif one.spare:
        sets = " and ".join(say_day(day) for day in one.spare)
        found.append(f"half on {sets}; label: class {short_day(target.first_day)}, not edible")
    elif one.direct:
        found.append(one.direct)
    return tuple(cut(words, WHY_WIDTH) for words in found[:MOST_WHY])


def late_words(one: Planned, today: date) -> str:
    """When it would be as it is wanted, were it sown today, and how late that is."""
    reached = one.reached(today)
    days = (reached.start, reached.end or reached.start)
    lo, hi = (max(0, (day - one.target.last_day).days) for day in days)
    late = f", {_days(lo, hi)} late" if hi else ""
    return f"sown today: {say_ready(reached, today, one.target.stage)}{late}"


def say_ready(reached: Window, today: date, stage: str = "") -> str:
    """When it is as it is wanted: "ready 16-23 May", "first true leaf 30 Apr"."""
    return f"{stage or 'ready'} {say_window(reached.start, reached.end or reached.start, today)}"


def _beside(one: Planned, aside: Aside) -> str:
    days = one.days
    place = f" at {aside.place}" if aside.place else ""
    if one.target.stage in STAGES:
        return f"up by the table{place}; the stage {STAGE_SLACK} d either way, common practice"
    if days.growing.knows is Knows.YOURS:
        trays = days.here.trays
        return f"yours, {trays} {_trays(trays)},{place}: {days.lo}-{days.hi} d{_published(one)}"
    if days.growing.source == BY_HABIT:
        return f"to the first cut{place}: {days.lo}-{days.hi} d by habit; {PUBLISHED_CUT}"
    if days.growing.source == BY_PLUG:
        return f"{days.lo}-{days.hi} d from sowing: it bears {days.hi} d in the plug (published)"
    how = f"grown{place}" if days.growing.source == BY_PLACE else f"published weeks{place}"
    return f"{how}: {days.lo}-{days.hi} d from sowing{_published(one)}"


def _published(one: Planned) -> str:
    """When the published weeks would have it sown, where they don't already say it."""
    weeks, window = one.days.weeks, one.published
    if weeks is None or window is None or one.days.growing.source != BY_PLACE:
        return ""
    return (
        f"; published {weeks[0]:g}-{weeks[1]:g} weeks: {say_window(window.start, window.end, window.start)}"
    )


def _takes(one: Planned, aside: Aside, measure: Measure) -> str:
    """What is still to be sown of it takes, or what it took."""
    left = one.cells_left if one.left else one.cells
    seeds, more = left * one.seeds_per_cell, " left" if one.sown and one.left else ""
    what = f"{left} {'pots' if aside.kind is ContainerKind.POT else 'cells'}{more}, {seeds} seeds"
    if aside.kind is ContainerKind.OPEN_FLAT:
        what = f"{seeds} seeds in {left} clumps"
    mix = _mix(mix_left(one) if one.left else one.mix_litres, measure)
    sure = ", 9 in 10 sure" if one.sure else ""
    return f"{what}, {mix} mix; {aside.germination}{sure}"


def _notes(view: PlanView) -> tuple[str, ...]:
    """One strip a place, and each overflow in words."""
    monday = _monday(view.on, 0)
    strips = [
        f"{_fit(load.name, NAME)}{_strip(load)}  of {load.slots} {_trays(load.slots)}" for load in view.loads
    ]
    return (
        f"{_fit('slots taken', NAME)}{WEEKS} weeks from {say_day(monday)}; {OVER} is over",
        *strips,
        *(cut(words, LINE) for words in _overflows(view)),
        "A tray counts until it is ready, a planned one from its first sowing day.",
        *(["Lines without a place aren't counted: say where they grow (c)."] if _placeless(view) else []),
    )


def _placeless(view: PlanView) -> bool:
    return any(one.left and one.target.place_id is None for one in view.planned)


def _strip(load: PlaceLoad) -> str:
    steps = len(STRIP)
    return "".join(
        OVER if trays > load.slots else STRIP[min(steps - 1, trays * steps // max(1, load.slots))]
        for trays in load.trays
    )


def session_answer(view: PlanView) -> Answer:
    """The sowing session of the day: depth, seeds a cell, warmth and label of each tray, and the mix to wet ahead."""
    due = [*view.missed, *view.this_week]
    trays, litres = sum(one.left for one in due), sum(mix_left(one) for one in due)
    said = (
        f"{trays} {_trays(trays)} to sow: wet about {_mix(litres, view.measure)} of mix ahead, write the labels first."
        if due
        else "Nothing is to be sown this week."
    )
    numbers, lines = iter(view.next_numbers), []
    for one in due:
        target, aside = one.target, view.asides[one.target.id]
        depth = (
            f"{show_depth(aside.depth_mm, view.measure)} deep"
            if isfinite(aside.depth_mm)
            else "depth not known"
        )
        warm = (
            show_temperature(aside.warm_c, view.scale)
            if isfinite(aside.warm_c)
            else aside.place or "as usual"
        )
        labels = _label_runs([*islice(numbers, one.left)])
        name = _name(target.crop, target.variety)
        text = f"{_fit(name, NAME)}{one.left} x {_fit(aside.container.split(',')[0], TRAYS)}{depth}, {one.seeds_per_cell} a cell, {warm}"
        words = (
            f"class {short_day(target.first_day)}, not edible" if target.purpose is Purpose.CLASS else name
        )
        lines.append(
            AnswerLine(
                cut(text, LINE),
                (
                    cut(f"label {labels}: {words}, sown {say_day(view.on)}", WHY_WIDTH),
                    *([cut(late_words(one, view.on), WHY_WIDTH)] if one.missed(view.on) else []),
                    cut(_takes(one, aside, view.measure), WHY_WIDTH),
                ),
                key=target.id,
            )
        )
    return Answer("sowing session: what to sow within a week", (said,), tuple(lines), "what, into what, how")


def _label_runs(numbers: Sequence[int]) -> str:
    """Labels in a few words: "71W to 73G, 75X"; numbers whose labels are about are left out between them."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and runs[-1][-1] == number - 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(
        label(run[0]) if len(run) == 1 else f"{label(run[0])} to {label(run[-1])}" for run in runs
    )


def mix_left(one: Planned) -> float:
    """Mix for the trays still to be sown [L]."""
    return one.mix_litres * one.left / max(1, one.trays)


def _mix(litres: float, measure: Measure) -> str:
    return show_volume(litres * ML_A_LITRE.value, measure)


def _monday(today: date, week: int) -> date:
    return today + timedelta(days=week * WEEK - today.weekday())


def _name(crop: str, variety: str) -> str:
    return clean(variety_name(crop, variety))


def _days(lo: int, hi: int) -> str:
    return f"{lo} d" if lo == hi else f"{lo}-{hi} d"


def _trays(count: int) -> str:
    return "tray" if count == 1 else "trays"


def _fit(words: str, width: int) -> str:
    return fit(words, width - 1, "…") + " "
