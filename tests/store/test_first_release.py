"""A file of the first release: opened, copied, brought up to date, and every tray as it was."""

import importlib
import sqlite3
from contextlib import closing
from pathlib import Path

from model.actions.opening import open_farm
from model.store import backup, migrate, reading
from model.views.round import read_round
from tests.builders import TODAY

ROWS = """
INSERT INTO setting VALUES ('zone', 'UTC');
INSERT INTO person VALUES (1, 'Wren');
INSERT INTO place VALUES (1, 'Slats', 'bench on slats', 1, 20, 12, 21);
INSERT INTO container VALUES (1, '72-cell tray', 'cell tray', 72, 43, 'open', 'printed');
INSERT INTO variety VALUES (1, 'kale', 'Rill');
INSERT INTO entry VALUES (1, 'a1', 1, '2026-03-20 06:30:00.000000', 'sowed', NULL);
INSERT INTO tray VALUES (1, 1, 12, '2026-03-20', 1, 1, NULL);
INSERT INTO sowing VALUES (1, 1, 1, 1, 1, NULL, 72, 1, '2026-03-20', NULL);
INSERT INTO act (id, entry_id, kind, day, tray_id, sowing_id, count)
    VALUES (1, 1, 'sown', '2026-03-20', 1, 1, 72), (2, 1, 'half up', '2026-03-27', 1, 1, 60);
INSERT INTO act (id, entry_id, kind, day, tray_id, score) VALUES (3, 1, 'root look', '2026-04-10', 1, 2);
INSERT INTO tray_now VALUES (1, 1, '{"as":"the first release kept it"}');
CREATE TABLE alembic_version (version_num VARCHAR(32) NOT NULL);
INSERT INTO alembic_version VALUES ('0001');
"""


def test_a_file_of_the_first_release_is_brought_up_to_date_with_all_it_holds(tmp_path: Path) -> None:
    path = tmp_path / "farm.db"
    first = importlib.import_module("model.store.migrations.versions.0001_first")
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(first.STATEMENTS + ROWS)
    store = open_farm(path)
    assert migrate.version(path) == migrate.HEAD
    assert [copy.why for copy in backup.backups(path)] == ["before-0001"]
    with store.reading() as rows:
        assert rows("SELECT kind, day, count, score FROM act ORDER BY id") == [
            ("sown", "2026-03-20", 72, None),
            ("half up", "2026-03-27", 60, None),
            ("root look", "2026-04-10", None, 2),
        ]
        (place,) = reading.places(rows)
        (tray,) = reading.standing_trays(rows)
    assert (place.name, place.low_c, place.probe, place.lamp_hours) == ("Slats", 12, False, None)
    assert (tray.number, tray.have, [look.score for look in tray.looks]) == (12, 72, [2])
    (line,) = read_round(store, TODAY).lines
    assert line.label == "12N"
