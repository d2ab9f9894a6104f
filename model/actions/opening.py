"""Opening the farm's record."""

from pathlib import Path

from model.store import births, reading
from model.store.address import Where, where_of
from model.store.database import Store, open_store

__all__ = ["Store", "Where", "default_path", "load_writers", "open_farm", "where_of"]


def default_path() -> Path:
    """Where the farm's file lives unless told otherwise: the platform's data folder."""
    from platformdirs import user_data_path

    return user_data_path("trayround", appauthor=False) / "farm.db"


def open_farm(where: Where, *, make: bool = False) -> Store:
    """The farm in a file or on a server; with `make`, a new one where there is none, or its making was broken off."""
    store = open_store(where, make=make)
    with store.reading() as rows:
        founded, unreckoned = bool(reading.settings(rows)), births.unreckoned(rows)
    if make and not founded:
        from model.actions.farm import found_farm, here_zone

        found_farm(store, here_zone())
    if unreckoned:
        from model.actions.files import rebuild

        rebuild(store)
    return store


def load_writers() -> None:
    """Import what writing needs, so that the first tick doesn't wait for it."""
    import importlib

    for name in ("sow", "shift", "growth", "walk", "record"):
        importlib.import_module(f"model.actions.{name}")
    importlib.import_module("model.store.tables")
