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
    CONSTRAINT ck_place_kind CHECK (kind IN ('heat mat', 'lit shelf', 'bench on slats', 'cold frame', 'hardening area', 'holding corner', 'quarantine')),
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

CREATE TABLE caution (
    "key" VARCHAR NOT NULL,
    season INTEGER NOT NULL,
    seen_on DATE NOT NULL,
    person_id INTEGER NOT NULL,
    CONSTRAINT pk_caution PRIMARY KEY ("key", season),
    CONSTRAINT fk_caution_person_id FOREIGN KEY(person_id) REFERENCES person (id)
);

CREATE TABLE entry (
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

CREATE TABLE lot (
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

CREATE TABLE packet (
    id INTEGER NOT NULL,
    entry_id INTEGER NOT NULL,
    lot_id INTEGER NOT NULL,
    packed_year INTEGER,
    tested_seeds INTEGER,
    tested_up INTEGER,
    tested_on DATE,
    tested_c FLOAT,
    treated VARCHAR,
    CONSTRAINT pk_packet PRIMARY KEY (id),
    CONSTRAINT ck_packet_treated CHECK (treated IN ('yes', 'no', 'unknown')),
    CONSTRAINT ck_packet_test CHECK (tested_up >= 0 AND tested_up <= tested_seeds),
    CONSTRAINT fk_packet_entry_id FOREIGN KEY(entry_id) REFERENCES entry (id),
    CONSTRAINT fk_packet_lot_id FOREIGN KEY(lot_id) REFERENCES lot (id)
);

CREATE INDEX ix_packet_entry_id ON packet (entry_id);

CREATE INDEX ix_packet_lot_id ON packet (lot_id);

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

CREATE TABLE tray_now (
    tray_id INTEGER NOT NULL,
    standing BOOLEAN NOT NULL,
    number INTEGER NOT NULL,
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

CREATE TABLE outlook (
    sowing_id INTEGER NOT NULL,
    reckoned_on DATE NOT NULL,
    facts VARCHAR NOT NULL,
    CONSTRAINT pk_outlook PRIMARY KEY (sowing_id),
    CONSTRAINT fk_outlook_sowing_id FOREIGN KEY(sowing_id) REFERENCES sowing (id)
);

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

CREATE INDEX ix_freeze_entry_id ON freeze (entry_id);

CREATE INDEX ix_promise_entry_id ON promise (entry_id);

CREATE INDEX ix_reading_entry_id ON reading (entry_id);

CREATE INDEX ix_reading_place_id_day ON reading (place_id, day);

CREATE INDEX ix_stock_entry_id ON stock (entry_id);

CREATE INDEX ix_target_entry_id ON target (entry_id);

CREATE INDEX ix_tray_entry_id ON tray (entry_id);

CREATE INDEX ix_tray_number ON tray (number);

CREATE INDEX ix_tray_parent_id ON tray (parent_id);

CREATE INDEX ix_verdict_entry_id ON verdict (entry_id);

CREATE INDEX ix_pin_entry_id ON pin (entry_id);

CREATE INDEX ix_pin_target_id ON pin (target_id);

CREATE INDEX ix_sowing_entry_id ON sowing (entry_id);

CREATE INDEX ix_sowing_target_id ON sowing (target_id);

CREATE INDEX ix_sowing_tray_id ON sowing (tray_id);

CREATE INDEX ix_tray_now_number ON tray_now (number);

CREATE INDEX ix_tray_now_standing ON tray_now (standing);

CREATE INDEX ix_act_day ON act (day);

CREATE INDEX ix_act_entry_id ON act (entry_id);

CREATE INDEX ix_act_tray_id_day ON act (tray_id, day);

CREATE INDEX ix_clash_entry_id ON clash (entry_id);
