"""Targets, pins, stock, freezes and cautions; nights of hardening among the acts."""

from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

STATEMENTS = """
CREATE TABLE target (
    id INTEGER NOT NULL,
    entry_id INTEGER NOT NULL,
    variety_id INTEGER NOT NULL,
    lot_id INTEGER,
    plants INTEGER NOT NULL,
    purpose VARCHAR NOT NULL,
    first_day DATE NOT NULL,
    last_day DATE NOT NULL,
    stage VARCHAR NOT NULL,
    container_id INTEGER NOT NULL,
    pot_id INTEGER,
    place_id INTEGER,
    seeds_per_cell INTEGER,
    until DATE,
    bed VARCHAR NOT NULL,
    replaces INTEGER,
    CONSTRAINT pk_target PRIMARY KEY (id),
    CONSTRAINT ck_target_purpose CHECK (purpose IN ('set out', 'class', 'sale', 'cut')),
    CONSTRAINT ck_target_plants CHECK (plants >= 0),
    CONSTRAINT ck_target_days CHECK (first_day <= last_day),
    CONSTRAINT ck_target_seeds CHECK (seeds_per_cell >= 1),
    CONSTRAINT fk_target_entry_id FOREIGN KEY(entry_id) REFERENCES entry (id),
    CONSTRAINT fk_target_variety_id FOREIGN KEY(variety_id) REFERENCES variety (id),
    CONSTRAINT fk_target_lot_id FOREIGN KEY(lot_id) REFERENCES lot (id),
    CONSTRAINT fk_target_container_id FOREIGN KEY(container_id) REFERENCES container (id),
    CONSTRAINT fk_target_pot_id FOREIGN KEY(pot_id) REFERENCES container (id),
    CONSTRAINT fk_target_place_id FOREIGN KEY(place_id) REFERENCES place (id),
    CONSTRAINT fk_target_replaces FOREIGN KEY(replaces) REFERENCES target (id)
);

CREATE INDEX ix_target_entry_id ON target (entry_id);

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
    CONSTRAINT ck_act_kind CHECK (kind IN ('sown', 'looked at', 'watered', 'left dry', 'first up', 'half up', 'counted', 'moved', 'thinned', 'fed', 'root look', 'finger test', 'potted up', 'set out', 'cut', 'lost', 'resown', 'retired', 'note', 'corrected', 'round closed', 'brought in', 'covered', 'stayed out', 'kept in', 'against the gate')),
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

CREATE TABLE sowing_new (
    id INTEGER NOT NULL,
    entry_id INTEGER NOT NULL,
    tray_id INTEGER NOT NULL,
    part INTEGER NOT NULL,
    variety_id INTEGER NOT NULL,
    lot_id INTEGER,
    cells INTEGER NOT NULL,
    seeds_per_cell INTEGER NOT NULL,
    sown_on DATE NOT NULL,
    from_sowing_id INTEGER,
    target_id INTEGER,
    CONSTRAINT pk_sowing PRIMARY KEY (id),
    CONSTRAINT ck_sowing_cells CHECK (cells >= 1),
    CONSTRAINT ck_sowing_seeds CHECK (seeds_per_cell >= 1),
    CONSTRAINT uq_sowing_tray_id_part UNIQUE (tray_id, part),
    CONSTRAINT fk_sowing_entry_id FOREIGN KEY(entry_id) REFERENCES entry (id),
    CONSTRAINT fk_sowing_tray_id FOREIGN KEY(tray_id) REFERENCES tray (id),
    CONSTRAINT fk_sowing_variety_id FOREIGN KEY(variety_id) REFERENCES variety (id),
    CONSTRAINT fk_sowing_lot_id FOREIGN KEY(lot_id) REFERENCES lot (id),
    CONSTRAINT fk_sowing_from_sowing_id FOREIGN KEY(from_sowing_id) REFERENCES sowing (id),
    CONSTRAINT fk_sowing_target_id FOREIGN KEY(target_id) REFERENCES target (id)
);

INSERT INTO sowing_new (id, entry_id, tray_id, part, variety_id, lot_id, cells, seeds_per_cell, sown_on, from_sowing_id) SELECT id, entry_id, tray_id, part, variety_id, lot_id, cells, seeds_per_cell, sown_on, from_sowing_id FROM sowing;

DROP TABLE sowing;

ALTER TABLE sowing_new RENAME TO sowing;

CREATE INDEX ix_sowing_entry_id ON sowing (entry_id);

CREATE INDEX ix_sowing_target_id ON sowing (target_id);

CREATE INDEX ix_sowing_tray_id ON sowing (tray_id);

CREATE TABLE pin (
    id INTEGER NOT NULL,
    entry_id INTEGER NOT NULL,
    target_id INTEGER NOT NULL,
    day DATE,
    place_id INTEGER,
    without BOOLEAN NOT NULL,
    reason VARCHAR NOT NULL,
    CONSTRAINT pk_pin PRIMARY KEY (id),
    CONSTRAINT fk_pin_entry_id FOREIGN KEY(entry_id) REFERENCES entry (id),
    CONSTRAINT fk_pin_target_id FOREIGN KEY(target_id) REFERENCES target (id),
    CONSTRAINT fk_pin_place_id FOREIGN KEY(place_id) REFERENCES place (id)
);

CREATE INDEX ix_pin_entry_id ON pin (entry_id);

CREATE INDEX ix_pin_target_id ON pin (target_id);

CREATE TABLE stock (
    id INTEGER NOT NULL,
    entry_id INTEGER NOT NULL,
    day DATE NOT NULL,
    what VARCHAR NOT NULL,
    container_id INTEGER,
    lot_id INTEGER,
    amount FLOAT NOT NULL,
    CONSTRAINT pk_stock PRIMARY KEY (id),
    CONSTRAINT ck_stock_what CHECK (what IN ('mix', 'container', 'seed')),
    CONSTRAINT ck_stock_amount CHECK (amount >= 0),
    CONSTRAINT fk_stock_entry_id FOREIGN KEY(entry_id) REFERENCES entry (id),
    CONSTRAINT fk_stock_container_id FOREIGN KEY(container_id) REFERENCES container (id),
    CONSTRAINT fk_stock_lot_id FOREIGN KEY(lot_id) REFERENCES lot (id)
);

CREATE INDEX ix_stock_entry_id ON stock (entry_id);

CREATE TABLE freeze (
    id INTEGER NOT NULL,
    entry_id INTEGER NOT NULL,
    station VARCHAR NOT NULL,
    at_c FLOAT NOT NULL,
    source VARCHAR NOT NULL,
    half_on VARCHAR NOT NULL,
    tenth_on VARCHAR NOT NULL,
    years VARCHAR NOT NULL,
    CONSTRAINT pk_freeze PRIMARY KEY (id),
    CONSTRAINT ck_freeze_source CHECK (source IN ('daily record', 'published dates')),
    CONSTRAINT fk_freeze_entry_id FOREIGN KEY(entry_id) REFERENCES entry (id)
);

CREATE INDEX ix_freeze_entry_id ON freeze (entry_id);

CREATE TABLE caution (
    "key" VARCHAR NOT NULL,
    season INTEGER NOT NULL,
    seen_on DATE NOT NULL,
    person_id INTEGER NOT NULL,
    CONSTRAINT pk_caution PRIMARY KEY ("key", season),
    CONSTRAINT fk_caution_person_id FOREIGN KEY(person_id) REFERENCES person (id)
);
"""


def upgrade() -> None:
    for statement in STATEMENTS.split(";"):
        if statement.strip():
            op.execute(statement)
