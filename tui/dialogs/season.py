"""Questions about a season, and a word to find."""

from model.actions import season
from model.ahead import BETWEEN, SeasonVerdict, VerdictWord
from model.views.season import CropSeason
from tui.dialogs.ask import Flow, Type
from tui.dialogs.flows import Wish, some_text


def verdict(year: int, crop: CropSeason, word: VerdictWord) -> Flow[Wish]:
    """Two lines of the grower's own; the second may stay empty."""
    old = crop.verdict.lines if crop.verdict and crop.verdict.word is word else ""
    first_said, _, second_said = old.partition(BETWEEN)
    first: str = yield Type(
        f"{word.capitalize()} {crop.title}: why?", some_text, first_said, "a line of your own"
    )
    second: str = yield Type("Next year?", str, second_said, "a second line; Enter leaves it")
    made = SeasonVerdict(year, crop.page.crop, crop.page.container_id, word, f"{first}{BETWEEN}{second}")
    return lambda store, stamp: season.judge(store, stamp, made)


def word() -> Flow[str]:
    """A word, or several that all must occur."""
    found: str = yield Type(
        "Find what?", some_text, "", "a word of a note, a bed, a lot, or to whom plants went"
    )
    return found
