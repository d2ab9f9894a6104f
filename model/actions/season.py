"""What the grower makes of a crop at the end of a season."""

from model.actions.desk import Receipt, Stamp, entry
from model.actions.shift import container_of
from model.ahead import BETWEEN, SeasonVerdict
from model.crops import crop_name
from model.errors import BadInput
from model.store.database import Store
from model.text import LIMIT, clean


def judge(store: Store, stamp: Stamp, verdict: SeasonVerdict) -> Receipt:
    """Keep, change or drop a crop in a container, with two lines of the grower's own; the newest holds."""
    from model.store import tables

    parts = (part.strip() for part in clean(verdict.lines, 2 * LIMIT).split(BETWEEN))
    lines = BETWEEN.join(part for part in parts if part)
    if not lines:
        raise BadInput("The verdict says nothing.", "Give a line of your own: why, or what to do otherwise.")
    if verdict.season > stamp.today.year:
        raise BadInput(f"{verdict.season} is still to come.", "Judge a season that has begun.")
    with entry(store, stamp) as pen:
        box = f" in {container_of(pen, verdict.container_id).name}" if verdict.container_id else ""
        pen.add(
            tables.Verdict(
                entry_id=pen.entry_id,
                season=verdict.season,
                crop=verdict.crop,
                container_id=verdict.container_id,
                word=verdict.word,
                lines=lines,
            )
        )
        pen.say(f"{verdict.word} {crop_name(verdict.crop)}{box}, {verdict.season}: {lines}")
    return pen.done()
