"""The gate: whether today is the day to set out, crop by crop, and setting out from there."""

from model.views.answer import Answer
from model.views.gate import CropAtGate, GateView, TrayAtGate, answer, read
from tui.commands import GATE, bindings_of
from tui.dialogs.ask import Ask, Choose, Flow, Option
from tui.screens.answer import MOVES, AnswerScreen
from tui.screens.setting_out import ask_set_out


class GateScreen(AnswerScreen):
    """One line a ready crop; what is GO stands first."""

    WHERE = GATE
    BINDINGS = [*bindings_of(GATE), *MOVES]
    view: GateView | None = None

    async def read(self) -> Answer:
        today, now, outlooks = self.session.today, self.now, self.session.outlooks
        self.view = await self.session.answer(lambda store: read(store, today, now, outlooks))
        return answer(self.view)

    @property
    def crop(self) -> CropAtGate | None:
        """The crop of the line under the hand."""
        here, crops = self.under_hand, self.view.crops if self.view else ()
        return next((crop for crop in crops if here and crop.trays[0].tray_id == here.key), None)

    async def action_go_out(self) -> None:
        """Set out plants of the crop under the hand; against the gate only with a reason."""
        crop = self.crop
        if crop is None:
            return
        if len(crop.trays) == 1:
            await ask_set_out(self, crop.trays[0].tray_id)
            return

        async def chosen(tray: TrayAtGate | None) -> None:
            if tray is not None:
                await ask_set_out(self, tray.tray_id)

        self.app.push_screen(Ask("Set out", which_tray, crop), chosen)  # type: ignore[arg-type]


def which_tray(crop: CropAtGate) -> Flow[TrayAtGate]:
    """Which of a crop's trays plants are taken from."""
    options = [Option(f"{tray.label}, {tray.place}, {tray.plants} plants", tray) for tray in crop.trays]
    tray: TrayAtGate = yield Choose(f"Which tray of {crop.name}?", options)
    return tray
