"""Handing on: the panel that packs the project, and pictures of a stage."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QFileDialog

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.dialogs.pack import PackPanel
from deliverylab.shell.pack_work import save_stage_picture
from deliverylab.shell.window.film import FilmWindow


class PackingWindow(FilmWindow):
    """Packs the project beside the stages, and saves what a stage shows.

    It is made as `IntentWindow` is.
    """

    def show_pack(self) -> None:
        """Show what is packed and how, beside the stages."""
        if isinstance(self.tool, PackPanel):
            return
        self.show_tool(PackPanel(self.session, self.session.active_side))

    def export_picture(self) -> None:
        """Ask for a name and write the active stage's picture there."""
        session = self.session
        side = session.active_side
        delivery = session.delivery(side)
        if delivery is None:
            return
        name = f"{delivery.name} frame {session.state(side).frame}.png"
        chosen, _ = QFileDialog.getSaveFileName(
            self, "Save the picture", str(Path(self.files.folder()) / name), "Pictures (*.png)"
        )
        if not chosen:
            return
        path = Path(chosen)
        path = path if path.suffix else path.with_suffix(".png")
        try:
            written = save_stage_picture(session, side, path)
        except DeliveryLabError as error:
            self.show_error(error)
            return
        self.say(f"Wrote {written.name}, in the clip's own resolution.", "good")
