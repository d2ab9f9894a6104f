"""What is told of a seed lot, as entries: a test can be taken back like any other entry."""

from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

STATEMENTS = """
CREATE TABLE packet (
    id INTEGER NOT NULL,
    entry_id INTEGER NOT NULL,
    lot_id INTEGER NOT NULL,
    packed_year INTEGER,
    tested_seeds INTEGER,
    tested_up INTEGER,
    tested_on DATE,
    tested_c FLOAT,
    treated TEXT_TYPE,
    CONSTRAINT pk_packet PRIMARY KEY (id),
    CONSTRAINT ck_packet_treated CHECK (treated IN ('yes', 'no', 'unknown')),
    CONSTRAINT ck_packet_test CHECK (tested_up >= 0 AND tested_up <= tested_seeds),
    CONSTRAINT fk_packet_entry_id FOREIGN KEY(entry_id) REFERENCES entry (id),
    CONSTRAINT fk_packet_lot_id FOREIGN KEY(lot_id) REFERENCES lot (id)
);

CREATE INDEX ix_packet_entry_id ON packet (entry_id);

CREATE INDEX ix_packet_lot_id ON packet (lot_id);

DELETE FROM tray_now;
"""


def upgrade() -> None:
    # On a server text sorts by its code points only where the column says so.
    text = 'VARCHAR COLLATE "C"' if op.get_bind().dialect.name == "postgresql" else "VARCHAR"
    for statement in STATEMENTS.replace("TEXT_TYPE", text).split(";"):
        if statement.strip():
            op.execute(statement)
