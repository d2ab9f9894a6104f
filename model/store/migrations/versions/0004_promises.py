"""Promises, verdicts, clashes, times told; quarantine, hand-overs, sprays and new labels among kinds and acts."""

from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

STATEMENTS = """
CREATE TABLE promise (
    id INTEGER NOT NULL,
    entry_id INTEGER NOT NULL,
    to_whom VARCHAR NOT NULL,
    crop VARCHAR NOT NULL,
    variety_id INTEGER,
    plants INTEGER NOT NULL,
    due_on DATE NOT NULL,
    container_id INTEGER,
    note VARCHAR NOT NULL,
    replaces INTEGER,
    CONSTRAINT pk_promise PRIMARY KEY (id),
    CONSTRAINT ck_promise_plants CHECK (plants >= 0),
    CONSTRAINT fk_promise_entry_id FOREIGN KEY(entry_id) REFERENCES entry (id),
    CONSTRAINT fk_promise_variety_id FOREIGN KEY(variety_id) REFERENCES variety (id),
    CONSTRAINT fk_promise_container_id FOREIGN KEY(container_id) REFERENCES container (id),
    CONSTRAINT fk_promise_replaces FOREIGN KEY(replaces) REFERENCES promise (id)
);

CREATE INDEX ix_promise_entry_id ON promise (entry_id);

CREATE TABLE verdict (
    id INTEGER NOT NULL,
    entry_id INTEGER NOT NULL,
    season INTEGER NOT NULL,
    crop VARCHAR NOT NULL,
    container_id INTEGER,
    word VARCHAR NOT NULL,
    lines VARCHAR NOT NULL,
    CONSTRAINT pk_verdict PRIMARY KEY (id),
    CONSTRAINT ck_verdict_word CHECK (word IN ('keep', 'change', 'drop')),
    CONSTRAINT fk_verdict_entry_id FOREIGN KEY(entry_id) REFERENCES entry (id),
    CONSTRAINT fk_verdict_container_id FOREIGN KEY(container_id) REFERENCES container (id)
);

CREATE INDEX ix_verdict_entry_id ON verdict (entry_id);

CREATE TABLE clash (
    id INTEGER NOT NULL,
    entry_id INTEGER NOT NULL,
    what VARCHAR NOT NULL,
    tray_id INTEGER,
    ours INTEGER,
    theirs INTEGER,
    settled_in INTEGER,
    CONSTRAINT pk_clash PRIMARY KEY (id),
    CONSTRAINT fk_clash_entry_id FOREIGN KEY(entry_id) REFERENCES entry (id),
    CONSTRAINT fk_clash_tray_id FOREIGN KEY(tray_id) REFERENCES tray (id),
    CONSTRAINT fk_clash_ours FOREIGN KEY(ours) REFERENCES act (id),
    CONSTRAINT fk_clash_theirs FOREIGN KEY(theirs) REFERENCES act (id),
    CONSTRAINT fk_clash_settled_in FOREIGN KEY(settled_in) REFERENCES entry (id)
);

CREATE INDEX ix_clash_entry_id ON clash (entry_id);

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
    CONSTRAINT ck_place_kind CHECK (kind IN ('heat mat', 'lit shelf', 'bench on slats', 'cold frame', 'hardening area', 'holding corner', 'quarantine')),
    CONSTRAINT ck_place_slots CHECK (slots >= 0),
    CONSTRAINT ck_place_low_high CHECK (low_c <= high_c),
    CONSTRAINT ck_place_lamp_hours CHECK (lamp_hours BETWEEN 0 AND 24),
    CONSTRAINT uq_place_name UNIQUE (name)
);

INSERT INTO place_new (id, name, kind, walk, slots, low_c, high_c, probe, lamp_hours, lamp_gap_mm, lamp_umol) SELECT id, name, kind, walk, slots, low_c, high_c, probe, lamp_hours, lamp_gap_mm, lamp_umol FROM place;

DROP TABLE place;

ALTER TABLE place_new RENAME TO place;

CREATE TABLE entry_new (
    id INTEGER NOT NULL,
    uid VARCHAR NOT NULL,
    person_id INTEGER NOT NULL,
    entered_at DATETIME NOT NULL,
    words VARCHAR NOT NULL,
    undoes INTEGER,
    told_at DATETIME,
    CONSTRAINT pk_entry PRIMARY KEY (id),
    CONSTRAINT uq_entry_uid UNIQUE (uid),
    CONSTRAINT fk_entry_person_id FOREIGN KEY(person_id) REFERENCES person (id),
    CONSTRAINT uq_entry_undoes UNIQUE (undoes),
    CONSTRAINT fk_entry_undoes FOREIGN KEY(undoes) REFERENCES entry (id)
);

INSERT INTO entry_new (id, uid, person_id, entered_at, words, undoes, told_at) SELECT id, uid, person_id, entered_at, words, undoes, NULL FROM entry;

DROP TABLE entry;

ALTER TABLE entry_new RENAME TO entry;

CREATE TABLE lot_new (
    id INTEGER NOT NULL,
    variety_id INTEGER NOT NULL,
    name VARCHAR NOT NULL,
    packed_year INTEGER,
    tested_seeds INTEGER,
    tested_up INTEGER,
    tested_on DATE,
    treated VARCHAR NOT NULL,
    tested_c FLOAT,
    source VARCHAR NOT NULL,
    CONSTRAINT pk_lot PRIMARY KEY (id),
    CONSTRAINT uq_lot_variety_id_name UNIQUE (variety_id, name),
    CONSTRAINT ck_lot_treated CHECK (treated IN ('yes', 'no', 'unknown')),
    CONSTRAINT ck_lot_test CHECK (tested_up >= 0 AND tested_up <= tested_seeds),
    CONSTRAINT fk_lot_variety_id FOREIGN KEY(variety_id) REFERENCES variety (id)
);

INSERT INTO lot_new (id, variety_id, name, packed_year, tested_seeds, tested_up, tested_on, treated, tested_c, source) SELECT id, variety_id, name, packed_year, tested_seeds, tested_up, tested_on, treated, NULL, '' FROM lot;

DROP TABLE lot;

ALTER TABLE lot_new RENAME TO lot;

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
    promise_id INTEGER,
    CONSTRAINT pk_act PRIMARY KEY (id),
    CONSTRAINT ck_act_kind CHECK (kind IN ('sown', 'looked at', 'watered', 'left dry', 'first up', 'half up', 'counted', 'moved', 'thinned', 'fed', 'root look', 'finger test', 'potted up', 'set out', 'cut', 'lost', 'resown', 'retired', 'note', 'corrected', 'round closed', 'brought in', 'covered', 'stayed out', 'kept in', 'against the gate', 'handed over', 'sprayed', 'looked sick', 'called', 'relabelled', 'variety uncertain')),
    CONSTRAINT ck_act_cause CHECK (cause IN ('didn''t come up', 'damped off', 'dried', 'frost', 'cooked', 'eaten', 'dropped', 'weak', 'mislabelled', 'unknown', 'other')),
    CONSTRAINT ck_act_score CHECK (score BETWEEN 0 AND 4),
    CONSTRAINT ck_act_count CHECK (count >= 0),
    CONSTRAINT fk_act_entry_id FOREIGN KEY(entry_id) REFERENCES entry (id),
    CONSTRAINT fk_act_tray_id FOREIGN KEY(tray_id) REFERENCES tray (id),
    CONSTRAINT fk_act_sowing_id FOREIGN KEY(sowing_id) REFERENCES sowing (id),
    CONSTRAINT fk_act_place_id FOREIGN KEY(place_id) REFERENCES place (id),
    CONSTRAINT fk_act_of_act_id FOREIGN KEY(of_act_id) REFERENCES act (id),
    CONSTRAINT fk_act_promise_id FOREIGN KEY(promise_id) REFERENCES promise (id)
);

INSERT INTO act_new (id, entry_id, kind, day, tray_id, sowing_id, place_id, count, score, cause, text, of_act_id, field, old, new, promise_id) SELECT id, entry_id, kind, day, tray_id, sowing_id, place_id, count, score, cause, text, of_act_id, field, old, new, NULL FROM act;

DROP TABLE act;

ALTER TABLE act_new RENAME TO act;

CREATE INDEX ix_act_day ON act (day);

CREATE INDEX ix_act_entry_id ON act (entry_id);

CREATE INDEX ix_act_tray_id_day ON act (tray_id, day);

DROP TABLE tray_now;

CREATE TABLE tray_now (
    tray_id INTEGER NOT NULL,
    standing BOOLEAN NOT NULL,
    number INTEGER NOT NULL,
    facts VARCHAR NOT NULL,
    CONSTRAINT pk_tray_now PRIMARY KEY (tray_id),
    CONSTRAINT fk_tray_now_tray_id FOREIGN KEY(tray_id) REFERENCES tray (id)
);

CREATE INDEX ix_tray_now_number ON tray_now (number);

CREATE INDEX ix_tray_now_standing ON tray_now (standing);
"""


def upgrade() -> None:
    for statement in STATEMENTS.split(";"):
        if statement.strip():
            op.execute(statement)
