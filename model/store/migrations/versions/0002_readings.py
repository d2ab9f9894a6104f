"""Readings, finger tests, lamps, own timings, and the outlook."""

from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

STATEMENTS = """
CREATE TABLE place_new (
    id INTEGER NOT NULL,
    name VARCHAR NOT NULL,
    kind VARCHAR NOT NULL,
    walk INTEGER NOT NULL,
    slots INTEGER NOT NULL,
    low_c FLOAT NOT NULL,
    high_c FLOAT NOT NULL,
    probe BOOLEAN NOT NULL,
    lamp_hours FLOAT,
    lamp_gap_mm FLOAT,
    lamp_umol FLOAT,
    CONSTRAINT pk_place PRIMARY KEY (id),
    CONSTRAINT ck_place_kind CHECK (kind IN ('heat mat', 'lit shelf', 'bench on slats', 'cold frame', 'hardening area', 'holding corner')),
    CONSTRAINT ck_place_slots CHECK (slots >= 0),
    CONSTRAINT ck_place_low_high CHECK (low_c <= high_c),
    CONSTRAINT ck_place_lamp_hours CHECK (lamp_hours BETWEEN 0 AND 24),
    CONSTRAINT uq_place_name UNIQUE (name)
);

INSERT INTO place_new (id, name, kind, walk, slots, low_c, high_c, probe) SELECT id, name, kind, walk, slots, low_c, high_c, 0 FROM place;

DROP TABLE place;

ALTER TABLE place_new RENAME TO place;

CREATE TABLE act_new (
    id INTEGER NOT NULL,
    entry_id INTEGER NOT NULL,
    kind VARCHAR NOT NULL,
    day DATE NOT NULL,
    tray_id INTEGER,
    sowing_id INTEGER,
    place_id INTEGER,
    count INTEGER,
    score INTEGER,
    cause VARCHAR,
    text VARCHAR,
    of_act_id INTEGER,
    field VARCHAR,
    old VARCHAR,
    new VARCHAR,
    CONSTRAINT pk_act PRIMARY KEY (id),
    CONSTRAINT ck_act_kind CHECK (kind IN ('sown', 'looked at', 'watered', 'left dry', 'first up', 'half up', 'counted', 'moved', 'thinned', 'fed', 'root look', 'finger test', 'potted up', 'set out', 'cut', 'lost', 'resown', 'retired', 'note', 'corrected', 'round closed')),
    CONSTRAINT ck_act_cause CHECK (cause IN ('didn''t come up', 'damped off', 'dried', 'frost', 'cooked', 'eaten', 'dropped', 'weak', 'mislabelled', 'unknown', 'other')),
    CONSTRAINT ck_act_score CHECK (score BETWEEN 0 AND 4),
    CONSTRAINT ck_act_count CHECK (count >= 0),
    CONSTRAINT fk_act_entry_id FOREIGN KEY(entry_id) REFERENCES entry (id),
    CONSTRAINT fk_act_tray_id FOREIGN KEY(tray_id) REFERENCES tray (id),
    CONSTRAINT fk_act_sowing_id FOREIGN KEY(sowing_id) REFERENCES sowing (id),
    CONSTRAINT fk_act_place_id FOREIGN KEY(place_id) REFERENCES place (id),
    CONSTRAINT fk_act_of_act_id FOREIGN KEY(of_act_id) REFERENCES act (id)
);

INSERT INTO act_new (id, entry_id, kind, day, tray_id, sowing_id, place_id, count, score, cause, text, of_act_id, field, old, new) SELECT id, entry_id, kind, day, tray_id, sowing_id, place_id, count, score, cause, text, of_act_id, field, old, new FROM act;

DROP TABLE act;

ALTER TABLE act_new RENAME TO act;

CREATE INDEX ix_act_day ON act (day);

CREATE INDEX ix_act_entry_id ON act (entry_id);

CREATE INDEX ix_act_tray_id_day ON act (tray_id, day);

CREATE TABLE reading (
    id INTEGER NOT NULL,
    entry_id INTEGER NOT NULL,
    what VARCHAR NOT NULL,
    day DATE NOT NULL,
    place_id INTEGER,
    low_c FLOAT,
    high_c FLOAT,
    issued_at DATETIME,
    source VARCHAR NOT NULL,
    CONSTRAINT pk_reading PRIMARY KEY (id),
    CONSTRAINT ck_reading_what CHECK (what IN ('air', 'soil', 'forecast')),
    CONSTRAINT ck_reading_low_high CHECK (low_c <= high_c),
    CONSTRAINT fk_reading_entry_id FOREIGN KEY(entry_id) REFERENCES entry (id),
    CONSTRAINT fk_reading_place_id FOREIGN KEY(place_id) REFERENCES place (id)
);

CREATE INDEX ix_reading_entry_id ON reading (entry_id);

CREATE INDEX ix_reading_place_id_day ON reading (place_id, day);

CREATE TABLE timing (
    crop VARCHAR NOT NULL,
    used BOOLEAN NOT NULL,
    asked_on DATE NOT NULL,
    CONSTRAINT pk_timing PRIMARY KEY (crop)
);

CREATE TABLE outlook (
    sowing_id INTEGER NOT NULL,
    reckoned_on DATE NOT NULL,
    facts VARCHAR NOT NULL,
    CONSTRAINT pk_outlook PRIMARY KEY (sowing_id),
    CONSTRAINT fk_outlook_sowing_id FOREIGN KEY(sowing_id) REFERENCES sowing (id)
);

DELETE FROM tray_now;
"""


def upgrade() -> None:
    for statement in STATEMENTS.split(";"):
        if statement.strip():
            op.execute(statement)
