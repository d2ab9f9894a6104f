"""Setting out, the same from every screen: where the gate says something against it, the reason is asked for."""

from dataclasses import replace
from typing import TYPE_CHECKING

from tui.screens.finding import says_refusal

if TYPE_CHECKING:
    from tui.screens.acts import TrayActs


@says_refusal
async def ask_set_out(screen: "TrayActs", tray_id: int, sowing_id: int | None = None) -> None:
    """Ask how many of a tray, or of one of its sowings, went where; and why, against the gate."""
    from model.views.gate import against
    from tui.dialogs import flows

    session = screen.session
    page = await session.page(tray_id)
    if sowing_id is not None:
        page = replace(page, sowings=tuple(s for s in page.sowings if s.sowing_id == sowing_id))
    today, now, outlooks = session.today, screen.now, session.outlooks
    said = await session.answer(lambda store: against(store, tray_id, today, now, outlooks))
    screen.ask("Set out", flows.set_out, page, said)
