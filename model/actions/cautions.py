"""Cautions that somebody has seen."""

from datetime import date

from model.store.database import Store, rows_of


def seen(store: Store, today: date, who: str, key: str) -> None:
    """Keep that somebody saw a caution this season; a second time changes nothing."""
    from model.store import tables

    with store.transaction() as session:
        rows = rows_of(session)
        if rows("SELECT 1 FROM caution WHERE key = ? AND season = ?", key, today.year):
            return
        found = rows("SELECT id FROM person WHERE name = ?", who)
        if found:
            person_id = int(found[0][0])
        else:
            person = tables.Person(name=who)
            session.add(person)
            session.flush()
            person_id = int(person.id or 0)
        session.add(tables.Caution(key=key, season=today.year, seen_on=today, person_id=person_id))
