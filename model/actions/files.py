"""The whole record out to plain files and in again; and reckoning every tray anew from its acts."""

import os
from collections.abc import Sequence
from contextlib import suppress
from datetime import date, datetime
from importlib import resources
from pathlib import Path
from tempfile import TemporaryDirectory

from model.actions.desk import reckon
from model.actions.farm import CHOICES
from model.entered import TrayBirth
from model.errors import BadInput, ImportRefused, NotEnough, StoreTrouble
from model.facts import Act, ActKind, ContainerKind, Tray
from model.labels import label
from model.rules.balance import apart, cells_sown
from model.rules.ledger import fold
from model.store import births, exchange, reading
from model.store.address import Server, Where, refuse_no_folder
from model.store.cells import no_more_than_fit
from model.store.database import Rows, Store, open_store, rows_of
from model.store.exchange import Bundle

DEMO_MORNING = date(2026, 4, 14)
"""The day on which the demo farm's files stand: nothing has been entered on it yet."""
DATABASE = b"SQLite format 3\0"
"""How a file begins that holds a record."""
NOT_OVER = "Name a new {}; nothing is imported over another."


def import_folder(where: Where, folder: Path, shift_days: int = 0, now: datetime | None = None) -> Store:
    """A new database from CSV files, every day moved by some days; whole, or not there at all.

    Where the instant is given, what would have been done after it is refused.
    Raises BadInput where something stands there already, ImportRefused with every bad row.
    """
    if isinstance(where, Server):
        return _import_to_server(where, exchange.read_folder(folder, shift_days, CHOICES, now))
    if where.exists():
        raise BadInput(f"There is something at {where} already.", NOT_OVER.format("file"))
    bundle = exchange.read_folder(folder, shift_days, CHOICES, now)
    made = _make_folders(where.parent)
    try:
        # The draft lies beside its goal, so that the last step is one rename on one disk.
        with TemporaryDirectory(prefix=f".{where.name}.", dir=where.parent) as beside:
            draft = Path(beside) / where.name
            store = open_store(draft, make=True)
            try:
                _fill(store, bundle)
            finally:
                store.close()
            draft.replace(where)
    except OSError as error:
        _remove_folders(made)
        raise StoreTrouble(
            f"{where} can't be written ({error.strerror}).", "Check the folder and your rights to it."
        ) from error
    except BaseException:
        _remove_folders(made)
        raise
    return open_store(where)


def _import_to_server(server: Server, bundle: Bundle) -> Store:
    """An import that is refused leaves tables without a row; the next one may fill them."""
    store = open_store(server, make=True)
    try:
        _fill(store, bundle)
    except BaseException:
        store.close()
        raise
    return store


def _make_folders(folder: Path) -> list[Path]:
    """Make a folder and those above it; the ones that were made, the deepest first."""
    missing = [place for place in (folder, *folder.parents) if not place.exists()]
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreTrouble(
            f"{folder} can't be made ({error.strerror}).", "Name another folder, or check your rights to it."
        ) from error
    return missing


def _remove_folders(folders: Sequence[Path]) -> None:
    for folder in folders:
        folder.rmdir()


def _fill(store: Store, bundle: Bundle) -> None:
    with store.transaction() as session:
        rows = rows_of(session)
        if reading.settings(rows):
            raise BadInput(f"There is a farm at {store.name} already.", NOT_OVER.format("database"))
        exchange.load(session, bundle)
        if lonely := _of_trays_taken_back(rows, bundle):
            raise ImportRefused(lonely)
        try:
            _reckon_all(rows)
        except (BadInput, NotEnough) as error:
            raise ImportRefused(_unbalanced(rows, bundle)) from error
        problems = _shared_numbers(rows, bundle) + _in_pots(rows, bundle) + _too_full(rows, bundle)
        if problems:
            raise ImportRefused(problems)


def _reckon_all(rows: Rows) -> None:
    """Fold every tray, those that came of no other first."""
    reckon(rows, exchange.first_tray_ids(rows))


def _of_trays_taken_back(rows: Rows, bundle: Bundle) -> list[str]:
    """Every tray that would stand though the one it came of was taken back."""
    lines = {row.cells["tray"]: row.line for row in bundle.sheets["trays.csv"]}
    made = births.births(rows, births.all_tray_ids(rows), reading.dead_entries(rows))
    there = {birth.id for birth in made}
    return no_more_than_fit(
        [
            f"trays.csv line {lines[birth.id]}, column parent: tray {label(birth.number)} came of a tray that was "
            "taken back. Take it back too, or leave the other standing."
            for birth in made
            if birth.parent_id is not None and birth.parent_id not in there
        ]
    )


def _shared_numbers(rows: Rows, bundle: Bundle) -> list[str]:
    """Every number that would stand on two living trays."""
    numbers = set(births.numbers_shared(rows, births.all_tray_ids(rows)))
    last = {row.cells["number"]: row.line for row in bundle.sheets["trays.csv"]}
    return no_more_than_fit(
        [
            f"trays.csv line {last[number]}, column number: two trays {label(number)} would be standing. "
            "Give one of them another number and its letter."
            for number in sorted(numbers)
        ]
    )


def _in_pots(rows: Rows, bundle: Bundle) -> list[str]:
    """Every tray in which nothing was sown, and every sowing whose potted plants aren't all in pots."""
    dead, lines = (
        reading.dead_entries(rows),
        {row.cells["tray"]: row.line for row in bundle.sheets["trays.csv"]},
    )
    trays = {tray.id: tray for tray in reading.every_tray(rows)}
    made = births.births(rows, births.all_tray_ids(rows), dead)
    return no_more_than_fit(
        [
            f"trays.csv line {lines[tray.id]}, column tray: nothing is sown in tray {label(tray.number)}. "
            "Add its sowing to sowings.csv."
            for tray in trays.values()
            if not tray.sowings
        ]
        + [
            f"trays.csv line {lines[tray.id]}, column tray: {sowing.potted} of {label(tray.number)} were potted up, "
            f"{pots} are in pots. Let the acts and the sowings that came of it agree."
            for tray, sowing, pots in apart(trays, made)
        ]
    )


def _too_full(rows: Rows, bundle: Bundle) -> list[str]:
    """Every cell tray in which more cells are sown than it has."""
    containers = {container.id: container for container in reading.containers(rows)}
    trays = reading.every_tray(rows)
    acts = births.live_acts(rows, [tray.id for tray in trays], reading.dead_entries(rows))
    lines = {row.cells["sowing"]: row.line for row in bundle.sheets["sowings.csv"]}
    problems = []
    for tray in trays:
        box, cells = containers[tray.container_id], cells_sown(tray, acts.get(tray.id, ()))
        if box.kind is ContainerKind.CELL_TRAY and cells > box.cells:
            problems.append(
                f"sowings.csv line {lines[tray.sowings[-1].id]}, column cells: tray {label(tray.number)} would have "
                f"{cells} cells sown, and a {box.name} has {box.cells}. Give fewer cells, or another container."
            )
    return no_more_than_fit(problems)


def _unbalanced(rows: Rows, bundle: Bundle) -> list[str]:
    """Every tray whose acts can't be, each with the act at which its record breaks."""
    dead = reading.dead_entries(rows)
    everything = births.all_tray_ids(rows)
    acts = births.live_acts(rows, everything, dead)
    folded: dict[int, Tray] = {}
    broken: set[int] = set()
    problems = []
    for birth in births.births(rows, everything, dead):
        source = birth.parent_id or 0
        try:
            # What came of a broken tray would only repeat its problem.
            if source in broken:
                broken.add(birth.id)
            else:
                folded[birth.id] = fold(birth, acts.get(birth.id, ()), folded.get(source))
        except (BadInput, NotEnough) as error:
            broken.add(birth.id)
            act = _breaking(birth, acts[birth.id], folded.get(source))
            problems.append(_where(birth, act, bundle, error))
    return no_more_than_fit(problems)


def _breaking(birth: TrayBirth, acts: Sequence[Act], parent: Tray | None) -> Act:
    """The first act, in the order of entry, after which the record of the tray can't be."""
    in_order = sorted(acts, key=lambda act: act.id)
    for end in range(1, len(in_order)):
        try:
            fold(birth, in_order[:end], parent)
        except (BadInput, NotEnough):
            return in_order[end - 1]
    return in_order[-1]


def _where(birth: TrayBirth, act: Act, bundle: Bundle, error: BadInput | NotEnough) -> str:
    column = "count" if isinstance(error, NotEnough) else "day"
    if act.kind is ActKind.CORRECTED:
        column = "new"
    return (
        f"acts.csv line {bundle.act_lines[act.id]}, column {column}: tray {label(birth.number)}, "
        f"act {act.id}: {error.what_happened} {error.what_to_do}"
    )


def export_folder(store: Store, folder: Path) -> None:
    """Write the whole record as CSV files that `import_folder` takes; other files there stay."""
    exchange.export_folder(store, folder)


def write_file(path: Path, data: bytes, *, over: bool = False) -> None:
    """Write one file that people read, whole or not at all; over another only with `over`, over a record never."""
    if path.is_dir():
        raise BadInput(f"{path} is a folder.", "Name a file in it.")
    refuse_no_folder(path)
    if path.exists() and not over:
        raise BadInput(f"There is something at {path} already.", "Name another file, or add --over.")
    draft = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        if path.exists() and _holds_a_record(path):
            raise BadInput(f"{path} holds a farm.", "Name another file; a record is never written over.")
        draft.write_bytes(data)
        draft.replace(path)
    except OSError as error:
        raise StoreTrouble(
            f"{path} can't be written ({error.strerror}).",
            "Check that its folder is there, and your rights to it.",
        ) from error
    finally:
        with suppress(OSError):
            draft.unlink(missing_ok=True)


def _holds_a_record(path: Path) -> bool:
    with path.open("rb") as stream:
        return stream.read(len(DATABASE)) == DATABASE


def rebuild(store: Store) -> None:
    """Throw away what is kept of every tray and reckon it anew from the acts."""
    with store.transaction() as session:
        rows = rows_of(session)
        exchange.forget_all(rows)
        _reckon_all(rows)


def demo_folder() -> Path:
    """Where the demo farm's files lie in the installed program."""
    return Path(str(resources.files("demo_data")))


def make_demo(where: Where, today: date) -> Store:
    """The demo farm as a database of its own, its days moved so that today is the demo morning."""
    return import_folder(where, demo_folder(), (today - DEMO_MORNING).days)
