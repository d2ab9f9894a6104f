"""Questions for somebody who stands in."""

from model.actions import helping
from model.views.calling import BLANK
from model.views.helping import HelperLine
from tui.dialogs.ask import Flow, Type
from tui.dialogs.flows import Wish, some_text


def note(line: HelperLine) -> Flow[Wish]:
    """Words about a tray."""
    text: str = yield Type(f"Note to {line.label}:", some_text, "", "what you saw, in your own words")
    return lambda store, stamp: helping.note(store, stamp, line.tray_id, text)


def call(line: HelperLine, phone: str) -> Flow[Wish]:
    """What the grower is wanted for; the call itself is made by phone."""
    text: str = yield Type(
        f"Call about {line.label}: what is wrong?",
        some_text,
        "",
        f"it stands first for the grower. If it can't wait, phone {'them' if phone == BLANK else phone}",
    )
    return lambda store, stamp: helping.call(store, stamp, line.tray_id, text)
