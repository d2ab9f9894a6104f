CREATE TABLE container (
    id INTEGER NOT NULL,
    name VARCHAR NOT NULL,
    kind VARCHAR NOT NULL,
    cells INTEGER NOT NULL,
    volume_ml FLOAT NOT NULL,
    bottom VARCHAR NOT NULL,
    source VARCHAR NOT NULL,
    CONSTRAINT pk_container PRIMARY KEY (id),
    CONSTRAINT ck_container_kind CHECK (kind IN ('cell tray', 'open flat', 'pot')),
    CONSTRAINT ck_container_bottom CHECK (bottom IN ('open', 'solid')),
    CONSTRAINT ck_container_cells CHECK (cells >= 1),
    CONSTRAINT ck_container_volume CHECK (volume_ml > 0),
    CONSTRAINT uq_container_name UNIQUE (name)
);

CREATE TABLE person (
    id INTEGER NOT NULL,
    name VARCHAR NOT NULL,
    CONSTRAINT pk_person PRIMARY KEY (id),
    CONSTRAINT uq_person_name UNIQUE (name)
);

CREATE TABLE place (
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

CREATE TABLE setting (
    name VARCHAR NOT NULL,
    value VARCHAR NOT NULL,
    CONSTRAINT pk_setting PRIMARY KEY (name)
);

CREATE TABLE timing (
    crop VARCHAR NOT NULL,
    used BOOLEAN NOT NULL,
    asked_on DATE NOT NULL,
    CONSTRAINT pk_timing PRIMARY KEY (crop)
);

CREATE TABLE variety (
    id INTEGER NOT NULL,
    crop VARCHAR NOT NULL,
    name VARCHAR NOT NULL,
    CONSTRAINT pk_variety PRIMARY KEY (id),
    CONSTRAINT uq_variety_crop_name UNIQUE (crop, name)
);

CREATE TABLE entry (
    id INTEGER NOT NULL,
    uid VARCHAR NOT NULL,
    person_id INTEGER NOT NULL,
    entered_at DATETIME NOT NULL,
    words VARCHAR NOT NULL,
    undoes INTEGER,
    CONSTRAINT pk_entry PRIMARY KEY (id),
    CONSTRAINT uq_entry_uid UNIQUE (uid),
    CONSTRAINT fk_entry_person_id FOREIGN KEY(person_id) REFERENCES person (id),
    CONSTRAINT uq_entry_undoes UNIQUE (undoes),
    CONSTRAINT fk_entry_undoes FOREIGN KEY(undoes) REFERENCES entry (id)
);

CREATE TABLE lot (
    id INTEGER NOT NULL,
    variety_id INTEGER NOT NULL,
    name VARCHAR NOT NULL,
    packed_year INTEGER,
    tested_seeds INTEGER,
    tested_up INTEGER,
    tested_on DATE,
    treated VARCHAR NOT NULL,
    CONSTRAINT pk_lot PRIMARY KEY (id),
    CONSTRAINT uq_lot_variety_id_name UNIQUE (variety_id, name),
    CONSTRAINT ck_lot_treated CHECK (treated IN ('yes', 'no', 'unknown')),
    CONSTRAINT ck_lot_test CHECK (tested_up >= 0 AND tested_up <= tested_seeds),
    CONSTRAINT fk_lot_variety_id FOREIGN KEY(variety_id) REFERENCES variety (id)
);

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

CREATE TABLE tray (
    id INTEGER NOT NULL,
    entry_id INTEGER NOT NULL,
    number INTEGER NOT NULL,
    made_on DATE NOT NULL,
    container_id INTEGER NOT NULL,
    place_id INTEGER NOT NULL,
    parent_id INTEGER,
    CONSTRAINT pk_tray PRIMARY KEY (id),
    CONSTRAINT ck_tray_number CHECK (number BETWEEN 0 AND 9999),
    CONSTRAINT fk_tray_entry_id FOREIGN KEY(entry_id) REFERENCES entry (id),
    CONSTRAINT fk_tray_container_id FOREIGN KEY(container_id) REFERENCES container (id),
    CONSTRAINT fk_tray_place_id FOREIGN KEY(place_id) REFERENCES place (id),
    CONSTRAINT fk_tray_parent_id FOREIGN KEY(parent_id) REFERENCES tray (id)
);

CREATE TABLE sowing (
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
    CONSTRAINT pk_sowing PRIMARY KEY (id),
    CONSTRAINT ck_sowing_cells CHECK (cells >= 1),
    CONSTRAINT ck_sowing_seeds CHECK (seeds_per_cell >= 1),
    CONSTRAINT uq_sowing_tray_id_part UNIQUE (tray_id, part),
    CONSTRAINT fk_sowing_entry_id FOREIGN KEY(entry_id) REFERENCES entry (id),
    CONSTRAINT fk_sowing_tray_id FOREIGN KEY(tray_id) REFERENCES tray (id),
    CONSTRAINT fk_sowing_variety_id FOREIGN KEY(variety_id) REFERENCES variety (id),
    CONSTRAINT fk_sowing_lot_id FOREIGN KEY(lot_id) REFERENCES lot (id),
    CONSTRAINT fk_sowing_from_sowing_id FOREIGN KEY(from_sowing_id) REFERENCES sowing (id)
);

CREATE TABLE tray_now (
    tray_id INTEGER NOT NULL,
    standing BOOLEAN NOT NULL,
    facts VARCHAR NOT NULL,
    CONSTRAINT pk_tray_now PRIMARY KEY (tray_id),
    CONSTRAINT fk_tray_now_tray_id FOREIGN KEY(tray_id) REFERENCES tray (id)
);

CREATE TABLE act (
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

CREATE TABLE outlook (
    sowing_id INTEGER NOT NULL,
    reckoned_on DATE NOT NULL,
    facts VARCHAR NOT NULL,
    CONSTRAINT pk_outlook PRIMARY KEY (sowing_id),
    CONSTRAINT fk_outlook_sowing_id FOREIGN KEY(sowing_id) REFERENCES sowing (id)
);

CREATE INDEX ix_reading_entry_id ON reading (entry_id);

CREATE INDEX ix_reading_place_id_day ON reading (place_id, day);

CREATE INDEX ix_tray_entry_id ON tray (entry_id);

CREATE INDEX ix_tray_number ON tray (number);

CREATE INDEX ix_tray_parent_id ON tray (parent_id);

CREATE INDEX ix_sowing_entry_id ON sowing (entry_id);

CREATE INDEX ix_sowing_tray_id ON sowing (tray_id);

CREATE INDEX ix_tray_now_standing ON tray_now (standing);

CREATE INDEX ix_act_day ON act (day);

CREATE INDEX ix_act_entry_id ON act (entry_id);

CREATE INDEX ix_act_tray_id_day ON act (tray_id, day);
