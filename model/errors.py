"""The one family of errors that a screen may show: what happened, and what to do about it."""

from model.text import several


class TrayroundError(Exception):
    """Something the grower can be told about, with its cure."""

    title = "This can't be done"

    def __init__(self, what_happened: str, what_to_do: str) -> None:
        super().__init__(f"{what_happened} {what_to_do}".strip())
        self.what_happened = what_happened
        self.what_to_do = what_to_do


class BadInput(TrayroundError):
    """A value that was typed or imported can't be taken as it stands."""

    title = "Please check what was typed"


class NotEnough(TrayroundError):
    """More plants were taken out of a sowing than there are."""

    title = "There are not that many"


class FullPlace(TrayroundError):
    """A place has no slot left for a tray, unless it is to be stacked."""

    title = "No slot left there"


class UndoRefused(TrayroundError):
    """An entry can't be taken back, because later entries stand on it."""

    title = "This can't be taken back"


class AlreadyKept(TrayroundError):
    """An entry with this id is on record; a retry changes nothing."""

    title = "Already saved"


class SaidAlready(TrayroundError):
    """The same was said of this tray today, or for the same time on paper; once is enough."""

    title = "Said already"


class NoDatabase(TrayroundError):
    """The database that was asked for isn't there."""

    title = "No database there"


class StoreTrouble(TrayroundError):
    """The file can't be read or written just now; nothing was changed."""

    title = "Something is wrong with the record"


class NewerFile(TrayroundError):
    """The file was made by a later release of trayround."""

    title = "This file is from a newer release"


class ImportRefused(TrayroundError):
    """Rows of an import are wrong; nothing was taken in."""

    title = "Nothing was imported"

    def __init__(self, problems: list[str]) -> None:
        self.problems = problems
        super().__init__(
            f"{several(len(problems), 'problem')} in the files.",
            "Mend them and import again.",
        )
