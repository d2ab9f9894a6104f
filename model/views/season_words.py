"""A season in words: the list of crops and containers, and the page of one, question by question."""

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date
from math import floor

from model.ahead import SeasonVerdict, VerdictWord
from model.days import say_day, say_window, short_day
from model.labels import label
from model.rules.season import AFTER_DAYS
from model.rules.season_page import MISSED, Aimed, Days, Gone, Met, OnMat, Page, Stood, Timed
from model.text import cut, fit, several
from model.views.answer import WIDTH, Answer, AnswerLine
from model.views.season import CropSeason, SeasonView
from model.views.timings import USUAL_C, CropTimings

LABEL = 12
"""Columns in which a page says what a line is about."""
NAMED = 8
"""Trays that are named in one line."""
OWN = "Ready ends with the first look with roots 2 or more, never with leaving."
APART = "Kinds of container are never taken together; a crop has a page for each."
POTTED = "What was sown stands on the page of the container it was sown in."
BEDS = "Losses in a bed are on record only where a part of the tray stayed."


def days_words(days: Days | None) -> str:
    """The middle in whole days with least and most: "7 (5-9)"."""
    return f"{floor(days.middle + 0.5)} ({days.least}-{days.most})" if days else "-"


def counted(days: Days) -> str:
    """The middle to a tenth, its spread and of how many: "6.5 (5-9) d, n 4"."""
    return f"{round(days.middle, 1):g} ({days.least}-{days.most}) d, n {days.count}"


def season_answer(view: SeasonView) -> Answer:
    """Every crop and container of a season, the most telling first."""
    heading = (
        f"{'crop':<12}{'in':<14}{'trays':>5}  {'up, d':<10}{'ready, d':<11}{'stand':>5}{'lost':>5}  "
        f"{'met':<5}{'said':<6}"
    )
    return Answer(
        title=f"season {view.season}",
        answer=tuple(_season(view)),
        lines=tuple(_crop_line(index, crop) for index, crop in enumerate(view.crops)),
        heading=heading if view.crops else "",
        notes=(OWN, APART),
    )


def _season(view: SeasonView) -> Iterator[str]:
    pages = [crop.page for crop in view.crops]
    if not pages:
        yield f"Nothing was sown or planned in {view.season}."
        return
    closed, missed = sum(page.closed for page in pages), sum(page.missed for page in pages)
    windows = f"{closed - missed} of {closed} windows met" if closed else "no planned window is over yet"
    sowings = sum(page.sowings for page in pages)
    yield f"Season {view.season}: {several(sowings, 'sowing')}, {windows}."
    causes: Counter[str] = Counter()
    for page in pages:
        causes.update(dict(page.losses))
    if causes:
        most = ", ".join(f"{cause} {count}" for cause, count in causes.most_common(3))
        yield f"Lost most to: {most} (cells or plants)."
    left = sum(crop.verdict is None for crop in view.crops)
    yield (
        f"No verdict on {left} of {len(pages)} yet: k keep, c change, d drop."
        if left
        else "All have a verdict."
    )


def _crop_line(index: int, crop: CropSeason) -> AnswerLine:
    page = crop.page
    stand = _share(page.stood)
    met = f"{page.closed - page.missed}/{page.closed}" if page.closed else "-"
    text = (
        f"{fit(crop.name, 11)} {fit(crop.container, 13)} {page.trays or page.potted:>5}  "
        f"{days_words(page.up_all):<10}{days_words(page.ready_all):<11}{stand:>5}{page.lost or '-':>5}  "
        f"{met:<5}{crop.verdict.word if crop.verdict else '-':<6}"
    )
    tone = "crowding" if page.missed or page.for_nobody else ""
    return AnswerLine(text.rstrip(), tuple(_crop_why(crop)), tone, index)


def _crop_why(crop: CropSeason) -> Iterator[str]:
    page = crop.page
    yield f"{crop.title}: {_size(page)}."
    late = [aim for aim in page.aims if MISSED & set(aim.closed)]
    if late:
        yield f"{late[0].target.variety} for {_wanted(late[0])}: {aim_words(late[0])}"
    if page.for_nobody:
        yield f"For nobody: {_named(page.for_nobody)}. Nothing of it ever left."
    elif page.losses:
        yield f"Lost: {_causes(page)}."
    if crop.verdict:
        yield _verdict_words(crop.verdict)


def crop_answer(view: SeasonView, crop: CropSeason, timings: CropTimings | None = None) -> Answer:
    """One crop in one kind of container: what it was, then the questions one after the other."""
    page = crop.page
    verdict = _verdict_words(crop.verdict) if crop.verdict else "No verdict yet: k keep, c change, d drop."
    return Answer(
        title=f"season {view.season}",
        answer=(f"{crop.title}, {view.season}: {_size(page)}.", verdict),
        lines=tuple(_lines(crop, timings)),
        heading=f"{'of':<{LABEL}}{view.season}",
        notes=tuple(_notes(page)),
    )


def _lines(crop: CropSeason, timings: CropTimings | None) -> Iterator[AnswerLine]:
    """Question by question; what is asked of sowings isn't asked where all was potted up."""
    page = crop.page
    sown = bool(page.sowings or page.aims)
    if sown:
        yield from _late(page)
        yield from _mat(page.mat)
        yield from _timed("up", page.up, "nobody ticked first up")
    yield from _timed("ready", page.ready, "no look found roots of 2 or more")
    if sown:
        yield from _stood(page)
    yield from _lost(page)
    yield from _gate(page)
    if sown:
        yield from _nobody(page)
        yield from _here(crop, timings)


def _notes(page: Page) -> Iterator[str]:
    yield OWN
    if not page.sowings and page.potted:
        yield POTTED
    yield APART
    if any(gone.against for gone in page.gone):
        yield BEDS


def _size(page: Page) -> str:
    parts = []
    if page.sowings:
        parts.append(
            f"{several(page.sowings, 'sowing')} in {several(page.trays, 'tray')}, {several(page.cells, 'cell')}"
        )
    if page.potted:
        parts.append(f"{several(page.plants, 'plant')} potted up in {several(page.potted, 'tray')}")
    if page.standing:
        parts.append(f"{page.standing} still standing")
    return "; ".join(parts) or "planned, and nothing sown"


def _verdict_words(verdict: SeasonVerdict) -> str:
    return f"{VERDICTS[verdict.word]}: {verdict.lines}".removesuffix(": ")


VERDICTS = {VerdictWord.KEEP: "Keep", VerdictWord.CHANGE: "Change", VerdictWord.DROP: "Drop"}


def _line(
    about: str, text: str, why: Sequence[str] = (), tone: str = "", number: int | None = None
) -> AnswerLine:
    return AnswerLine(cut(f"{about:<{LABEL}}{text}", WIDTH), tuple(why), tone, None, number)


def _under(about: str, lines: Sequence[AnswerLine]) -> Iterator[AnswerLine]:
    """Lines about one thing: it stands at the first of them."""
    for index, line in enumerate(lines):
        text = f"{about if not index else '':<{LABEL}}{line.text[LABEL:]}"
        yield AnswerLine(text, line.why, line.tone, line.key, line.number)


def _late(page: Page) -> Iterator[AnswerLine]:
    """What was late, and why."""
    if not page.aims:
        yield _line("windows", "none was planned")
        return
    head = f"{page.closed - page.missed} of {page.closed} met" if page.closed else "none is over yet"
    yield _line("windows", f"{head}; {several(len(page.aims), 'line')} of the plan", _plan_why())
    for aim in page.aims:
        tone = "crowding" if MISSED & set(aim.closed) else ""
        text = f"{cut(aim.target.variety, 14)}, {_wanted(aim)}: {aim_words(aim)}"
        yield _line("", text, tuple(_aim_why(aim)), tone)


def _plan_why() -> tuple[str, ...]:
    return (
        "Two windows a line: its days to sow, counted back as the plan does now,",
        "and the days it was wanted. One counts once it is over; early is met.",
    )


def _wanted(aim: Aimed) -> str:
    first, last = aim.target.first_day, aim.target.last_day
    return say_window(first, last, first)


def aim_words(aim: Aimed) -> str:
    """How a line of the plan went, and where it was late, by how much."""
    if aim.sowing in {Met.NEVER, Met.OPEN}:
        return f"{'never sown' if aim.sowing is Met.NEVER else 'still to be sown'}."
    sown = _when("sown", aim.sowing, aim.sown, aim.sow.start, aim.sow.end or aim.sow.start)
    if aim.leaving in {Met.NEVER, Met.OPEN}:
        return f"{sown}, {'nothing left' if aim.leaving is Met.NEVER else 'not wanted yet'}."
    left = [day for day, _ in aim.left]
    return f"{sown}, {_when('left', aim.leaving, left, aim.target.first_day, aim.target.last_day)}."


def _when(verb: str, met: Met, days: Sequence[date], first: date, last: date) -> str:
    if met is Met.IN:
        return f"{verb} in time"
    edge = first if met is Met.EARLY else last
    return f"{verb} {abs((min(days) - edge).days)} d {met}"


def _aim_why(aim: Aimed) -> Iterator[str]:
    end = aim.sow.end
    until = f" to {say_day(end)}" if end else " on"
    yield f"To sow from {say_day(aim.sow.start)}{until}; sown {_on_days(aim.sown)}, {len(aim.sown)} of {aim.trays}."
    gone = ", ".join(f"{count} on {short_day(day)}" for day, count in aim.left[:4]) or "none"
    yield f"Wanted {aim.target.plants}; left: {gone}{' and more' if len(aim.left) > 4 else ''}."
    if aim.leaving in MISSED and aim.sown:
        yield _why_late(aim)


def _why_late(aim: Aimed) -> str:
    last = aim.target.last_day
    if aim.leaving is Met.NEVER and aim.lost:
        return f"Lost or empty: {aim.lost}."
    if aim.ready_on is None:
        return "No look tells when its roots held, so why it was late isn't known."
    if aim.ready_on > last:
        return f"Its roots held first on {say_day(aim.ready_on)}, {(aim.ready_on - last).days} d past the window."
    return f"Its roots held on {say_day(aim.ready_on)}, in time: it waited for weather or hands."


def _on_days(days: Sequence[date]) -> str:
    return ", ".join(short_day(day) for day in dict.fromkeys(days)) or "never"


def _mat(mat: OnMat) -> Iterator[AnswerLine]:
    """Where the mat was wasted."""
    if not mat.trays:
        yield _line("mat", "never on it")
        return
    why = (
        "Due off a day after half up, at first up where a crop stretches fast.",
        f"Of {mat.known} of {mat.trays} it is on record when they were up.",
    )
    text = f"{several(mat.days, 'tray-day')} in {several(mat.trays, 'tray')}; off in time {mat.off_in_time} of {mat.known}"
    wasted = f", {mat.over} tray-days too long" if mat.over else ""
    yield _line("mat", text + wasted, why, "crowding" if mat.over else "")


def _timed(about: str, found: Sequence[Timed], nothing: str) -> Iterator[AnswerLine]:
    """Days to up or to ready, by variety and place."""
    if not found:
        yield _line(about, f"not known: {nothing}")
    lines = [
        _line(
            "",
            f"{cut(t.variety, 18)}, {cut(t.place, 16)}: {counted(t.days)}{' from potting up' if t.potted else ''}",
        )
        for t in found
    ]
    yield from _under(about, lines)


def _stood(page: Page) -> Iterator[AnswerLine]:
    """Stand by lot."""
    lines = [_line("", f"{_lot(stood)}: {_stand_words(stood)}") for stood in page.stood]
    yield from _under("stand", lines or [_line("", "nothing was sown in it")])


def _lot(stood: Stood) -> str:
    return (
        f"{cut(stood.variety, 18)}, lot {cut(stood.lot, 16)}"
        if stood.lot
        else f"{cut(stood.variety, 18)}, no lot"
    )


def _stand_words(stood: Stood) -> str:
    more = f"; {stood.uncounted} not counted" if stood.uncounted else ""
    if not stood.cells:
        return "not counted"
    return f"{stood.up / stood.cells:.0%} ({stood.up} of {stood.cells} cells{more})"


def _share(stood: Sequence[Stood]) -> str:
    cells = sum(one.cells for one in stood)
    return f"{sum(one.up for one in stood) / cells:.0%}" if cells else "-"


def _lost(page: Page) -> Iterator[AnswerLine]:
    """Loss by cause."""
    of = page.cells + page.plants
    yield _line(
        "losses", f"{page.lost} of {of}: {_causes(page)}" if page.losses else f"none of {of} on record"
    )


def _causes(page: Page) -> str:
    return ", ".join(f"{cause} {count}" for cause, count in page.losses)


def _gate(page: Page) -> Iterator[AnswerLine]:
    """Going against the gate, and how it went beside the rest."""
    against = [gone for gone in page.gone if gone.against]
    others = [gone for gone in page.gone if not gone.against]
    if not page.gone:
        yield _line("gate", "nothing was set out from it")
        return
    yield _line("gate", f"against it {_went(against)}" if against else "never against it")
    if others:
        yield _line("", f"otherwise {_went(others)}")
    for gone in against:
        text = f"{label(gone.number)} {short_day(gone.day)}, {gone.count}: {gone.against}"
        yield _line("", text, tuple(_gone_why(gone)), number=gone.number)


def _went(gone: Sequence[Gone]) -> str:
    plants, lost = sum(one.count for one in gone), sum(one.lost for one in gone)
    so_far = "" if all(one.over for one in gone) else f" so far; {AFTER_DAYS} days are not over for all"
    return f"{several(len(gone), 'time')}, {plants} plants; {lost} lost{so_far or f' in {AFTER_DAYS} days'}"


def _gone_why(gone: Gone) -> Iterator[str]:
    yield f"{say_day(gone.day)}, against the gate: {gone.against}."
    yield f"Lost in the {AFTER_DAYS} days after{'' if gone.over else ', which are not over'}: {gone.lost}."
    if gone.notes:
        yield f"Noted then: {'; '.join(gone.notes)}"


def _nobody(page: Page) -> Iterator[AnswerLine]:
    """Sowings made for nobody."""
    if page.for_nobody:
        why = ("No line of the plan wanted them, and nothing of them went out or was cut.",)
        yield _line("for nobody", _named(page.for_nobody), why, "crowding")
    else:
        yield _line("for nobody", "none")


def _named(numbers: Sequence[int]) -> str:
    more = f" and {len(numbers) - NAMED} more" if len(numbers) > NAMED else ""
    return f"{several(len(numbers), 'tray')}: {', '.join(label(n) for n in numbers[:NAMED])}{more}"


def _here(crop: CropSeason, timings: CropTimings | None) -> Iterator[AnswerLine]:
    """What was learned beside the default."""
    table = timings.up_default if timings else None
    default = f"{table:g} d by the table at {USUAL_C:g} °C" if table is not None else "no table tells"
    here = (f"Here: in {crop.container}, all seasons.",)
    up = counted(crop.up_ever) if crop.up_ever else "not known"
    yield _line("learned", f"up: {default}; here {up}", here)
    held = counted(crop.ready_ever) if crop.ready_ever else "not known"
    yield _line("", f"ready: here {held}", here)
    if timings is not None:
        slow, middle, quick = timings.yours or (0.0, 0.0, 0.0)
        yours = f"{middle:.2f} ({slow:.2f}-{quick:.2f}), n {timings.trays}" if timings.yours else "not known"
        holds = "yours" if timings.used and timings.trays else "the default"
        why = (
            "Growth in degree-days, from looks, over all seasons and all its containers;",
            f"by default 1 ({timings.default[0]:.2f}-{timings.default[2]:.2f}). T settles which holds.",
        )
        yield _line("", f"growth: default 1; yours {yours}; {holds} holds", why)
