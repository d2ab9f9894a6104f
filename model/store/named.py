"""What goes by name in two copies of a record: people, places, containers, varieties, lots, and settings."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from model.store.database import Rows, rows_of

if TYPE_CHECKING:
    from sqlmodel import Session

NAMED = {
    "person": ("name",),
    "place": ("name",),
    "container": ("name",),
    "variety": ("crop", "name"),
    "lot": ("variety_id", "name"),
}
"""Tables whose rows are known by some columns, those that others point at first."""

OF_THE_FARM = (
    *("farm", "zone", "latitude", "offset_c", "mix_bag_l", "cover"),
    *("bed_cover", "harden_days", "frost_risk", "phone", "alone"),
)
"""Settings of the farm itself; the others are matters of one screen."""

UNSAID = (None, "", "unknown")
"""Nothing was said: what the other copy says is taken."""

TREATED = "yes"
"""Seed that one copy knows as treated is treated, whatever the other says."""

BY_KEY = {"timing": ("crop",), "caution": ("key", "season")}
"""Rows of which there is one a key, and the first stays."""


@dataclass
class Names:
    """Joins what goes by name. Where both say different things ours stays, and a note says so."""

    notes: list[str] = field(default_factory=list)

    def join(
        self, session: "Session", theirs: Rows, paired: Mapping[str, Mapping[int, int]]
    ) -> dict[str, dict[int, int]]:
        """Ids here of everything that goes by name there; what is new is put on record."""
        from model.store.tables import metadata

        ours = rows_of(session)
        ids: dict[str, dict[int, int]] = {}
        for table, key in NAMED.items():
            columns = [column.name for column in metadata.tables[table].columns]
            known = {row["id"]: row for row in _dicts(ours, table, columns)}
            by_key = {_key(row, key): row for row in known.values()}
            seen = _same_places(ours, theirs, paired["tray"]) if table == "place" else {}
            ids[table] = {}
            for row in _dicts(theirs, table, columns):
                if "variety_id" in row:
                    row["variety_id"] = ids["variety"][row["variety_id"]]
                same = known.get(seen.get(row["id"], 0)) or by_key.get(_key(row, key))
                if same is None:
                    ids[table][row["id"]] = _added(ours, table, row)
                else:
                    ids[table][row["id"]] = same["id"]
                    self._agree(ours, table, same, row)
        self._settings(ours, theirs)
        for table, key in BY_KEY.items():
            columns = [column.name for column in metadata.tables[table].columns]
            there = {_key(row, key) for row in _dicts(ours, table, columns)}
            for row in _dicts(theirs, table, columns):
                if "person_id" in row:
                    row["person_id"] = ids["person"][row["person_id"]]
                if _key(row, key) not in there:
                    _put(ours, table, row)
        return ids

    def _agree(self, ours: Rows, table: str, here: Mapping[str, Any], there: Mapping[str, Any]) -> None:
        """Take what only the other copy says; say what both say differently."""
        told = []
        for column, value in there.items():
            mine = here[column]
            if column in ("id", "variety_id") or value == mine or value in UNSAID:
                continue
            if mine in UNSAID or (column == "treated" and value == TREATED):
                ours(f"UPDATE {table} SET {column} = ? WHERE id = ?", value, here["id"])
            elif column == "treated":
                continue
            else:
                told.append(f"{column.replace('_', ' ')} {mine} here, {value} there")
        if told:
            self.notes.append(f"{here['name']}: {'; '.join(told)}. What is here stays.")

    def _settings(self, ours: Rows, theirs: Rows) -> None:
        here, there = (dict(rows("SELECT name, value FROM setting")) for rows in (ours, theirs))
        for name in OF_THE_FARM:
            mine, other = here.get(name, ""), there.get(name, "")
            if mine == other or not other:
                continue
            if not mine:
                # A file of an earlier release lacks settings that came later.
                ours(
                    "INSERT INTO setting (name, value) VALUES (?, ?) "
                    "ON CONFLICT (name) DO UPDATE SET value = excluded.value",
                    *(name, other),
                )
            else:
                self.notes.append(f"Setting {name}: {mine} here, {other} there. What is here stays.")


def _dicts(rows: Rows, table: str, columns: list[str]) -> list[dict[str, Any]]:
    quoted = ", ".join(f'"{column}"' for column in columns)
    return [dict(zip(columns, row, strict=True)) for row in rows(f"SELECT {quoted} FROM {table} ORDER BY 1")]


def _key(row: Mapping[str, Any], columns: tuple[str, ...]) -> tuple[Any, ...]:
    """Names are the same whatever their capitals, as they are when somebody types them."""
    found = (row[column] for column in columns)
    return tuple(value.casefold() if isinstance(value, str) else value for value in found)


def _same_places(ours: Rows, theirs: Rows, trays: Mapping[int, int]) -> dict[int, int]:
    """Places that were given another name in one copy: the trays that both know began there."""
    here, there = (dict(rows("SELECT id, place_id FROM tray")) for rows in (ours, theirs))
    return {there[their]: here[our] for their, our in trays.items()}


def _added(ours: Rows, table: str, row: dict[str, Any]) -> int:
    ((newest,),) = ours(f"SELECT coalesce(max(id), 0) FROM {table}")
    _put(ours, table, {**row, "id": newest + 1})
    return int(newest) + 1


def _put(ours: Rows, table: str, row: Mapping[str, Any]) -> None:
    columns = ", ".join(f'"{column}"' for column in row)
    ours(f"INSERT INTO {table} ({columns}) VALUES ({', '.join('?' * len(row))})", *row.values())
