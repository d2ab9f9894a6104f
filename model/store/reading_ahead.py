"""Plain SQL reads of what is to come and what is in hand."""

from datetime import date

from model.ahead import (
    CautionSeen,
    FreezeFrom,
    Freezes,
    PinnedSowing,
    Purpose,
    Stocked,
    StockKind,
    Target,
    Use,
)
from model.store import projection
from model.store.database import Rows, listed
from model.store.reading import dead_entries
from model.store.reading_packets import treated_now

_day = date.fromisoformat


def targets(rows: Rows) -> list[Target]:
    """Targets that hold: neither taken back, nor replaced, nor dropped; by their first day."""
    dead = dead_entries(rows)
    found = rows(
        "SELECT target.id, crop, variety.name, coalesce(lot.name, ''), plants, purpose, first_day, last_day, stage, "
        "container_id, pot_id, place_id, seeds_per_cell, until, bed, replaces FROM target "
        "JOIN variety ON variety.id = target.variety_id LEFT JOIN lot ON lot.id = lot_id "
        f"WHERE entry_id NOT IN ({listed(dead)}) ORDER BY first_day, target.id"
    )
    made = [
        Target(
            *(
                i,
                crop,
                variety,
                lot,
                plants,
                Purpose(purpose),
                _day(first),
                _day(last),
                stage,
                box,
                pot,
                place,
                seeds,
            ),
            until=_day(until) if until else None,
            bed=bed,
            replaces=replaces,
        )
        for i, crop, variety, lot, plants, purpose, first, last, stage, box, pot, place, seeds, until, bed, replaces in found
    ]
    older = {target.replaces for target in made}
    return [target for target in made if target.id not in older and target.plants]


def pins(rows: Rows) -> dict[int, PinnedSowing]:
    """What was decided by hand last, by target."""
    found = rows(
        f"SELECT target_id, day, place_id, without, reason FROM pin WHERE entry_id NOT IN ({listed(dead_entries(rows))}) "
        "ORDER BY id"
    )
    return {
        target: PinnedSowing(target, _day(day) if day else None, place, bool(without), reason)
        for target, day, place, without, reason in found
    }


def counts(rows: Rows) -> list[Stocked]:
    """Every count of the store, in the order of entry; what was washed is a count too."""
    found = rows(
        "SELECT what, container_id, lot_id, day, amount, entry_id FROM stock "
        f"WHERE entry_id NOT IN ({listed(dead_entries(rows))}) ORDER BY id"
    )
    return [
        Stocked(StockKind(what), box, lot, _day(day), amount, entry_id)
        for what, box, lot, day, amount, entry_id in found
    ]


def stock(rows: Rows) -> list[Stocked]:
    """The newest count of each thing in the store."""
    return list({(c.what, c.container_id, c.lot_id): c for c in counts(rows)}.values())


def emptied(rows: Rows) -> list[Use]:
    """Containers in which nothing stands any more, with the entry that emptied each."""
    found = rows(
        "SELECT max(act.entry_id), facts FROM tray_now JOIN act ON act.tray_id = tray_now.tray_id "
        f"WHERE NOT standing AND act.entry_id NOT IN ({listed(dead_entries(rows))}) GROUP BY tray_now.tray_id"
    )
    gone = [(entry, projection.from_text(facts)) for entry, facts in found]
    return [
        Use(entry, tray.ended_on, tray.container_id, None, sum(s.cells for s in tray.sowings), 0)
        for entry, tray in gone
        if tray.ended_on
    ]


def uses(rows: Rows) -> list[Use]:
    """What every sowing and potting up took, in the order of entry.

    A mixed tray is filled once, with its first part; pots are filled by each part. A later sowing fills nothing.
    """
    found = rows(
        "SELECT sowing.entry_id, sown_on, made_on, container_id, lot_id, sowing.cells, seeds_per_cell, "
        "from_sowing_id, sowing.entry_id = tray.entry_id AND (container.kind = 'pot' OR sowing.id = "
        "(SELECT min(part.id) FROM sowing AS part WHERE part.tray_id = tray.id)) "
        "FROM sowing JOIN tray ON tray.id = tray_id JOIN container ON container.id = container_id "
        f"WHERE sowing.entry_id NOT IN ({listed(dead_entries(rows))}) ORDER BY sowing.id"
    )
    return [
        Use(
            entry,
            _day(made if parent else sown),
            box if fills else None,
            lot,
            cells,
            0 if parent else cells * seeds,
        )
        for entry, sown, made, box, lot, cells, seeds, parent, fills in found
    ]


def freezes(rows: Rows) -> list[Freezes]:
    """The newest last freezes of each temperature at the station that was entered last, the warmest first.

    Two stations are never mixed: a table of both could rise where it has to fall.
    """
    found = rows(
        'SELECT id, station, at_c, source, half_on, tenth_on, years FROM "freeze" '
        f"WHERE entry_id NOT IN ({listed(dead_entries(rows))}) ORDER BY id"
    )
    newest = {
        at_c: Freezes(i, station, at_c, FreezeFrom(source), half_on, tenth_on, years)
        for i, station, at_c, source, half_on, tenth_on, years in found
        if station.casefold() == found[-1][1].casefold()
    }
    return [newest[at_c] for at_c in sorted(newest, reverse=True)]


def cautions(rows: Rows, season: int) -> dict[str, CautionSeen]:
    """Cautions that were seen in a season, by key."""
    found = rows(
        "SELECT key, season, seen_on, person.name FROM caution JOIN person ON person.id = person_id WHERE season = ?",
        season,
    )
    return {key: CautionSeen(key, season, _day(day), who) for key, season, day, who in found}


def sown_in(rows: Rows, entry_id: int) -> list[tuple[str, str, str, str]]:
    """What an entry sowed: crop, kind of container, whether its lot is treated, and what it is wanted for."""
    found = rows(
        f"SELECT variety.crop, container.kind, coalesce({treated_now(dead_entries(rows))}, ''), coalesce(purpose, '') FROM sowing "
        "JOIN tray ON tray.id = tray_id JOIN container ON container.id = tray.container_id "
        "JOIN variety ON variety.id = sowing.variety_id LEFT JOIN lot ON lot.id = sowing.lot_id "
        "LEFT JOIN target ON target.id = sowing.target_id WHERE sowing.entry_id = ? AND from_sowing_id IS NULL",
        entry_id,
    )
    return [tuple(row) for row in found]


def wanted_in(rows: Rows, entry_id: int) -> list[tuple[str, str]]:
    """What an entry added to the plan: crop and what for."""
    found = rows(
        "SELECT crop, purpose FROM target JOIN variety ON variety.id = variety_id WHERE entry_id = ? AND plants > 0",
        entry_id,
    )
    return [tuple(row) for row in found]


def sown_for(rows: Rows) -> dict[int, dict[int, int]]:
    """Cells by tray that were sown for each target, taken back or not."""
    found: dict[int, dict[int, int]] = {}
    for target, tray, cells in rows(
        "SELECT target_id, tray_id, sum(cells) FROM sowing WHERE target_id IS NOT NULL GROUP BY target_id, tray_id"
    ):
        found.setdefault(target, {})[tray] = cells
    return found


def older_forms(rows: Rows) -> dict[int, int]:
    """The target that each newer form replaced: what was sown for the older one was sown for the newer one."""
    return dict(rows("SELECT id, replaces FROM target WHERE replaces IS NOT NULL"))
