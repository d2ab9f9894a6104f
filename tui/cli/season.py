"""Looking back: a season, and a word found again."""

import argparse

from tui.cli.common import FINE, Register, opened, opened_now


def add(command: Register) -> None:
    """Put down the commands that look back."""
    season = command(
        "season", _season, "print what a season came to, for each crop in each kind of container"
    )
    season.add_argument("year", nargs="?", type=int, metavar="YEAR", help="the newest season without one")
    season.add_argument("--crop", default="", metavar="NAME", help="the pages of one crop")
    season.add_argument("--json", action="store_true", help="as one JSON object")
    notes = command("notes", _notes, "print where a word stands: notes, beds, lots, to whom, in all seasons")
    notes.add_argument("word", nargs="+", metavar="WORD", help="all of them must occur")
    notes.add_argument("--json", action="store_true", help="as one JSON object")


def _season(asked: argparse.Namespace) -> int:
    from model.views import season
    from model.views.answer import as_json, as_text, in_ascii
    from model.views.season_text import text

    store, today, now = opened_now(asked)
    view = season.read(store, today, now, season=asked.year)
    if asked.crop:
        view = season.of_crop(view, asked.crop)
    if asked.json:
        print(as_json(view))
    elif asked.crop:
        from model.views.outlook import reckon
        from model.views.timings import read_timings

        told = text(view, read_timings(store, reckon(store, today).past), view.crops)
        print(in_ascii(told) if asked.ascii else told)
    else:
        print(as_text(season.answer(view), ascii_only=asked.ascii))
    return FINE


def _notes(asked: argparse.Namespace) -> int:
    from model.views import notes
    from model.views.answer import as_json, as_text

    store, today = opened(asked)
    found = notes.read_notes(store, " ".join(asked.word), today)
    print(as_json(found) if asked.json else as_text(notes.answer(found), ascii_only=asked.ascii))
    return FINE
