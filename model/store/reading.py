"""Plain SQL reads: from rows to facts."""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from typing import Any

from model.entered import MERGE
from model.facts import (
    Act,
    ActKind,
    Bottom,
    Container,
    ContainerKind,
    Place,
    PlaceKind,
    Reading,
    ReadingKind,
    Tray,
    Treated,
)
from model.labels import HIGHEST
from model.science.quantities import SeedTest
from model.store import projection, reading_packets
from model.store.database import Rows, listed
from model.store.reading_packets import Packet
from model.store.set_aside import aside

EVER = datetime.min.replace(tzinfo=UTC)
"""An instant before every entry."""

_day = date.fromisoformat
_KINDS = {kind.value: kind for kind in ActKind}


@dataclass(frozen=True, slots=True)
class VarietyRow:
    """A variety as the record holds it."""

    id: int
    crop: str
    name: str


@dataclass(frozen=True, slots=True)
class LotRow:
    """A seed lot as the record holds it."""

    id: int
    variety_id: int
    name: str
    packed_year: int | None
    tested_seeds: int | None
    tested_up: int | None
    tested_on: date | None
    treated: Treated
    tested_c: float | None = None
    """Warmth of the test [°C], where somebody kept it."""
    source: str = ""
    """Where the seed came from."""

    @property
    def test(self) -> SeedTest | None:
        """Its germination test, where there was one."""
        return SeedTest(self.tested_up or 0, self.tested_seeds) if self.tested_seeds else None


@dataclass(frozen=True, slots=True)
class EntryRow:
    """One action as the record holds it."""

    id: int
    who: str
    at: datetime
    words: str
    undoes: int | None
    told_at: datetime | None


def settings(rows: Rows) -> dict[str, str]:
    """Every setting of the farm."""
    return dict(rows("SELECT name, value FROM setting"))


def people(rows: Rows) -> tuple[str, ...]:
    """Who does the round, in the order they were named."""
    return tuple(name for (name,) in rows("SELECT name FROM person ORDER BY id") if name != MERGE)


def places(rows: Rows) -> tuple[Place, ...]:
    """The places in walking order."""
    found = rows(
        "SELECT id, name, kind, walk, slots, low_c, high_c, probe, lamp_hours, lamp_gap_mm, lamp_umol FROM place "
        "ORDER BY walk, id"
    )
    return tuple(
        Place(i, name, PlaceKind(kind), walk, slots, low, high, bool(probe), *lamp)
        for i, name, kind, walk, slots, low, high, probe, *lamp in found
    )


def containers(rows: Rows) -> tuple[Container, ...]:
    """The kinds of container."""
    found = rows("SELECT id, name, kind, cells, volume_ml, bottom, source FROM container ORDER BY id")
    return tuple(
        Container(i, name, ContainerKind(kind), cells, volume, Bottom(bottom), source)
        for i, name, kind, cells, volume, bottom, source in found
    )


def varieties(rows: Rows) -> tuple[VarietyRow, ...]:
    """The varieties, by crop and name."""
    return tuple(VarietyRow(*row) for row in rows("SELECT id, crop, name FROM variety ORDER BY crop, name"))


def lots(rows: Rows) -> tuple[LotRow, ...]:
    """The seed lots."""
    found = rows(
        "SELECT id, variety_id, name, packed_year, tested_seeds, tested_up, tested_on, treated, tested_c, source "
        "FROM lot ORDER BY id"
    )
    first = [
        LotRow(
            i, variety_id, name, year, seeds, up, _maybe_day(tested_on), Treated(treated), tested_c, source
        )
        for i, variety_id, name, year, seeds, up, tested_on, treated, tested_c, source in found
    ]
    told, dead = reading_packets.told(rows), dead_entries(rows)
    gone = reading_packets.lots_taken_back(rows, dead)
    return tuple(_with(lot, told, dead) for lot in first if lot.id not in gone)


def _with(lot: LotRow, told: Iterable[Packet], dead: Collection[int]) -> LotRow:
    """A lot with what was told of it since and wasn't taken back."""
    for one in told:
        if one.lot_id == lot.id and one.entry_id not in dead:
            lot = replace(lot, **one.says)
    return lot


def readings(
    rows: Rows,
    dead: Collection[int],
    since: date | None = None,
    what: Collection[ReadingKind] = tuple(ReadingKind),
) -> list[Reading]:
    """Readings and forecasts that still hold, in the order of entry: from a day on, of some kinds."""
    found = rows(
        "SELECT reading.id, what, day, place_id, low_c, high_c, issued_at, person.name, source FROM reading "
        "JOIN entry ON entry.id = entry_id JOIN person ON person.id = person_id "
        f"WHERE day >= ? AND what IN ({','.join('?' * len(what))}) AND entry_id NOT IN ({listed(dead)}) "
        "ORDER BY reading.id",
        (since or date.min).isoformat(),
        *(kind.value for kind in what),
    )
    return [
        Reading(i, ReadingKind(what), _day(day), place, low, high, _instant(at) if at else None, who, source)
        for i, what, day, place, low, high, at, who, source in found
    ]


def timings(rows: Rows) -> dict[str, bool]:
    """Crops about whose own timings the grower was asked, and whether they are used."""
    return {crop: bool(used) for crop, used in rows("SELECT crop, used FROM timing")}


def lots_of(rows: Rows, crop: str, variety: str) -> list[LotRow]:
    """The seed lots of one variety."""
    ids = {row.id for row in varieties(rows) if (row.crop, row.name) == (crop, variety)}
    return [lot for lot in lots(rows) if lot.variety_id in ids]


def standing_trays(rows: Rows) -> list[Tray]:
    """Every tray that still holds plants or seed."""
    return [
        projection.from_text(text)
        for (text,) in rows("SELECT facts FROM tray_now WHERE standing ORDER BY tray_id")
    ]


def every_tray(rows: Rows) -> list[Tray]:
    """Every tray, standing or gone."""
    return [projection.from_text(text) for (text,) in rows("SELECT facts FROM tray_now ORDER BY tray_id")]


def gone_and_looked_at(rows: Rows) -> list[Tray]:
    """Trays of which nothing is left and whose roots somebody looked at: growth is learned from them."""
    found = rows(
        "SELECT facts FROM tray_now WHERE NOT standing AND tray_id IN (SELECT tray_id FROM act WHERE kind = ?) "
        "ORDER BY tray_id",
        ActKind.ROOT_LOOK.value,
    )
    return [projection.from_text(text) for (text,) in found]


def outlooks(rows: Rows) -> list[str]:
    """The outlooks that were reckoned last, as text."""
    return [text for (text,) in rows("SELECT facts FROM outlook ORDER BY sowing_id")]


def trays(rows: Rows, ids: Collection[int]) -> dict[int, Tray]:
    """Some trays, standing or not, by their id; a tray that was taken back isn't there."""
    return {
        tray_id: projection.from_text(text)
        for tray_id, text in rows_in(
            rows, "SELECT tray_id, facts FROM tray_now WHERE tray_id IN ({}) ORDER BY tray_id", ids
        )
    }


def fingered(rows: Rows, since: date) -> list[int]:
    """Trays that a finger was in on a day or after it."""
    found = rows(
        "SELECT DISTINCT tray_id FROM act WHERE day >= ? AND kind = ? AND tray_id IS NOT NULL ORDER BY tray_id",
        since.isoformat(),
        ActKind.FINGER.value,
    )
    return [tray_id for (tray_id,) in found]


def trays_numbered(rows: Rows, number: int) -> list[Tray]:
    """Trays that carry or carried a number: those that carry it first, the newest first."""
    found = rows(
        "SELECT facts FROM tray_now WHERE number = ? OR tray_id IN (SELECT tray_id FROM act WHERE kind = ? AND old = ?) "
        "ORDER BY number = ? DESC, tray_id DESC",
        *(number, ActKind.RELABELLED.value, str(number), number),
    )
    trays = [projection.from_text(text) for (text,) in found]
    # A new label that was taken back was never carried.
    return [tray for tray in trays if number in (tray.number, *(alias.number for alias in tray.aliases))]


def gone_since(rows: Rows, day: date) -> list[Tray]:
    """Trays that left on a day or after it, and some that left before it but were touched since."""
    found = rows(
        "SELECT facts FROM tray_now WHERE NOT standing AND tray_id IN (SELECT tray_id FROM act WHERE day >= ?) "
        "ORDER BY tray_id",
        day.isoformat(),
    )
    return [projection.from_text(text) for (text,) in found]


def labelled_in(rows: Rows, entry_ids: Collection[int]) -> frozenset[int]:
    """Trays that some entries made, sowed again or gave another number."""
    found: set[int] = set()
    for sql in (
        "SELECT id FROM tray WHERE entry_id IN ({}) ORDER BY id",
        "SELECT tray_id FROM sowing WHERE entry_id IN ({}) ORDER BY tray_id",
        f"SELECT tray_id FROM act WHERE kind = '{ActKind.RELABELLED}' AND entry_id IN ({{}}) ORDER BY tray_id",
    ):
        found.update(tray_id for (tray_id,) in rows_in(rows, sql, entry_ids))
    return frozenset(found)


def free_numbers(rows: Rows, but: Collection[int] = (), start: int | None = None) -> Iterator[int]:
    """The numbers after one, else the newest tray's, that no living tray carries, without some others; then from 1 on."""
    # Trays of the entry that is being written aren't reckoned yet; those that were taken back never will be.
    trays, now = "tray LEFT JOIN tray_now ON tray_id = id", "entry_id = (SELECT max(id) FROM entry)"
    number_now = "coalesce(tray_now.number, tray.number)"
    taken = {*but, *(n for (n,) in rows(f"SELECT {number_now} FROM {trays} WHERE standing OR {now}"))}
    if start is None:
        newest = rows(
            f"SELECT tray.number FROM {trays} WHERE tray_id IS NOT NULL OR {now} ORDER BY id DESC LIMIT 1"
        )
        start = int(newest[0][0]) if newest else 0
    following = ((start + step - 1) % HIGHEST + 1 for step in range(1, HIGHEST + 1))
    return (candidate for candidate in following if candidate not in taken)


def last_entry(rows: Rows) -> int:
    """Id of the newest entry; 0 in a new file."""
    ((newest,),) = rows("SELECT coalesce(max(id), 0) FROM entry")
    return int(newest)


def last_day(rows: Rows) -> date:
    """The newest day that an act is for; the earliest date there is in a new file."""
    ((newest,),) = rows("SELECT max(day) FROM act")
    return _maybe_day(newest) or date.min


def dead_entries(rows: Rows) -> frozenset[int]:
    """Entries that are taken back, or set aside until somebody has decided between two of them."""
    return aside(rows).entries


def entries(rows: Rows, since: datetime | None = None) -> list[EntryRow]:
    """Entries in the order they were made, from an instant on."""
    found = rows(
        "SELECT entry.id, person.name, entered_at, words, undoes, told_at FROM entry JOIN person ON person.id = person_id "
        "WHERE entered_at >= ? ORDER BY entry.id",
        (since or EVER).astimezone(UTC).isoformat(" ", "microseconds").partition("+")[0],
    )
    return [
        EntryRow(i, who, _instant(at), words, undoes, _maybe_instant(told))
        for i, who, at, words, undoes, told in found
    ]


_ACTS = (
    "SELECT act.id, entry_id, kind, day, person.name, entered_at, tray_id, sowing_id, place_id, count, score, cause, "
    "text, of_act_id, field, old, new, promise_id, told_at FROM act JOIN entry ON entry.id = coalesce("
    # An act that was entered for the wrong tray keeps who did it and when, wherever it counts now.
    "(SELECT was.entry_id FROM act AS was WHERE was.id = act.of_act_id AND act.kind <> 'corrected'), act.entry_id) "
    "JOIN person ON person.id = person_id "
)


def acts_of(rows: Rows, tray_ids: Collection[int], since: date = date.min) -> list[Act]:
    """Every act on some trays, live or taken back, by day and entry; from a day on, and what was put right to be."""
    which = ""
    if since > date.min:
        sql = "SELECT of_act_id FROM act WHERE tray_id IN ({}) AND of_act_id IS NOT NULL"
        mended = listed([i for (i,) in rows_in(rows, sql, tray_ids)])
        which = f"AND (day >= '{since}' OR act.id IN ({mended})) "
    found = rows_in(rows, f"{_ACTS}WHERE tray_id IN ({{}}) {which}ORDER BY day, act.id", tray_ids)
    return [_act(row) for row in found]


def acts_in(rows: Rows, entry_id: int) -> list[Act]:
    """The acts of one entry."""
    return [_act(row) for row in rows(_ACTS + "WHERE entry_id = ? ORDER BY act.id", entry_id)]


def acts_of_kinds(rows: Rows, tray_ids: Iterable[int], kinds: Iterable[ActKind]) -> list[Act]:
    """Acts of some kinds on some trays, live or taken back, by id."""
    named = ",".join(f"'{kind.value}'" for kind in kinds)
    sql = f"{_ACTS}WHERE tray_id IN ({{}}) AND kind IN ({named}) ORDER BY act.id"
    return [_act(row) for row in rows_in(rows, sql, tray_ids)]


def acts_of_ids(rows: Rows, act_ids: Iterable[int]) -> list[Act]:
    """Some acts by their ids, live or taken back."""
    return [_act(row) for row in rows_in(rows, _ACTS + "WHERE act.id IN ({}) ORDER BY act.id", act_ids)]


def _act(row: Any) -> Act:
    act_id, entry_id, kind, day, who, at, *rest, told = row
    return Act(act_id, _KINDS[kind], _day(day), who, _instant(at), entry_id, *(*rest, _maybe_instant(told)))


def last_act(rows: Rows, day: date, dead: Collection[int]) -> tuple[ActKind, str] | None:
    """Kind and words of the last act entered for a day, leaving out entries that are taken back."""
    found = rows(
        "SELECT kind, text FROM act WHERE day = ? "
        f"AND entry_id NOT IN ({listed(dead)}) ORDER BY id DESC LIMIT 1",
        day.isoformat(),
    )
    return (_KINDS[found[0][0]], found[0][1] or "") if found else None


def last_stood_at(rows: Rows, day: date, dead: Collection[int]) -> int | None:
    """The standing tray that was the last to get an act on a day.

    A tray that was moved, sown or potted up into that day doesn't tell where the grower stood.
    """
    found = rows(
        "SELECT tray_id FROM act WHERE day = ? AND place_id IS NULL "
        "AND EXISTS (SELECT 1 FROM tray_now WHERE tray_now.tray_id = act.tray_id AND standing) "
        "AND entry_id <> (SELECT tray.entry_id FROM tray WHERE tray.id = act.tray_id) "
        f"AND entry_id NOT IN ({listed(dead)}) ORDER BY id DESC LIMIT 1",
        day.isoformat(),
    )
    return int(found[0][0]) if found else None


def last_sowings(rows: Rows) -> list[tuple[int, str, int, int, int, int]]:
    """The last sowing that stands of each variety, newest first: variety, lot, container, place, cells, seeds."""
    found = rows(
        "SELECT sowing.variety_id, coalesce(lot.name, ''), container_id, place_id, cells, seeds_per_cell FROM sowing "
        "JOIN tray ON tray.id = tray_id LEFT JOIN lot ON lot.id = lot_id WHERE sowing.id IN "
        f"(SELECT max(id) FROM sowing WHERE from_sowing_id IS NULL AND entry_id NOT IN ({listed(dead_entries(rows))}) "
        "GROUP BY variety_id) ORDER BY sowing.id DESC"
    )
    return [tuple(row) for row in found]


def rows_in(rows: Rows, sql: str, values: Iterable[Any]) -> list[Any]:
    """Rows for a list of values, asked for in portions that SQLite takes."""
    listed, found = list(values), []
    for start in range(0, len(listed), 500):
        portion = listed[start : start + 500]
        found += rows(sql.format(",".join("?" * len(portion))), *portion)
    return found


def _instant(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def _maybe_instant(text: str | None) -> datetime | None:
    return _instant(text) if text else None


def _maybe_day(text: str | None) -> date | None:
    return _day(text) if text else None
