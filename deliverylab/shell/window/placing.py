"""Placing again beside the stage, and the pages that say how well somebody places."""

from __future__ import annotations

from deliverylab.shell.dialogs.placing_again import PlacingAgainPanel
from deliverylab.shell.panes.precision import PrecisionPane
from deliverylab.shell.panes.scatter import ScatterPane
from deliverylab.shell.project_files import ProjectFiles
from deliverylab.shell.session import Session
from deliverylab.shell.settings import Settings
from deliverylab.shell.widgets.sheet_page import SheetPage
from deliverylab.shell.window.film import FilmWindow


class PlacingWindow(FilmWindow):
    """Brings clicks to a run of placing again, and shows what came of it.

    It is made as `IntentWindow` is.
    """

    def __init__(
        self, session: Session, settings: Settings, files: ProjectFiles | None = None
    ) -> None:
        super().__init__(session, settings, files)
        for stage in self.stages.values():
            stage.canvas.points_picked.connect(self._on_placed_again)
            stage.canvas.picking_cancelled.connect(self._on_placing_left)
            stage.canvas.pick_skipped.connect(self._skipped_again)
            stage.canvas.pick_taken_back.connect(self._on_taken_back)

    def place_again(self) -> None:
        """Ask for landmarks again, in hidden order, on the active stage."""
        if self.session.camera(self.session.active_side) is None:
            return
        panel = PlacingAgainPanel(
            self.session, self.session.active_side, self.settings.get("placer")
        )
        panel.point_wanted.connect(self._on_point_wanted)
        panel.nothing_wanted.connect(self._on_nothing_wanted)
        panel.report_wanted.connect(self.show_precision)
        panel.placer_named.connect(lambda name: self.settings.put("placer", name))
        self.show_tool(panel)

    def close_tool(self) -> None:
        """Go back to the readings; a run of placing again is kept."""
        panel = self._placing_panel()
        super().close_tool()
        if panel is not None:
            self.stages[panel.side].canvas.stop_picking()

    def _placing_panel(self) -> PlacingAgainPanel | None:
        return self.tool if isinstance(self.tool, PlacingAgainPanel) else None

    def skip_landmark(self) -> None:
        """Pass over what is asked for, by a run of placing again where one goes on."""
        if not self._skipped_again():
            super().skip_landmark()

    def hide_landmark(self) -> None:
        """Say that what is asked for cannot be seen; a run of placing again leaves it out."""
        if not self._skipped_again():
            super().hide_landmark()

    def remove_landmark(self) -> None:
        """Take the current landmark away, but none that nobody sees while placing again."""
        if not self._is_placing_again():
            super().remove_landmark()

    def _is_placing_again(self) -> bool:
        panel = self._placing_panel()
        return panel is not None and self.session.hides_places(panel.side)

    def _skipped_again(self) -> bool:
        """Leave out what a run asks for; return whether one goes on."""
        panel = self._placing_panel()
        if panel is None or not self._is_placing_again():
            return False
        self.session.skip_again(panel.side, panel.run_name)
        return True

    def _on_taken_back(self) -> None:
        panel = self._placing_panel()
        if panel is not None and self._is_placing_again():
            self.session.take_back_again(panel.side, panel.run_name)

    def _on_point_wanted(self, frame: int, prompt: str) -> None:
        panel = self._placing_panel()
        if panel is not None:
            self.session.show_frame(panel.side, frame)
            canvas = self.stages[panel.side].canvas
            canvas.pick_points(1, [prompt])
            canvas.setFocus()

    def _on_placed_again(self, points: list[tuple[float, float]]) -> None:
        panel = self._placing_panel()
        if panel is None or len(points) != 1:
            return
        target = self.session.asked_again(panel.side, panel.run_name)
        if target is None:
            return
        if self.session.state(panel.side).frame == target.frame:
            panel.take(*points[0])
        else:  # stepped away to look: the click was meant for another picture
            panel.refresh()

    def _on_placing_left(self) -> None:
        """Stop where Esc says so; the run is kept."""
        panel = self._placing_panel()
        if panel is not None and self.session.asked_again(panel.side, panel.run_name):
            self.close_tool()

    def _on_nothing_wanted(self) -> None:
        panel = self._placing_panel()
        if panel is not None:
            self.stages[panel.side].canvas.stop_picking()

    # --------------------------------------------------------------------------- the pages

    def show_precision(self) -> None:
        """Show what all runs of placing again say."""
        pane = PrecisionPane(self.session)
        pane.again_wanted.connect(self._on_again_wanted)
        self._show_sheet(pane)

    def show_scatter(self) -> None:
        """Show how the positions of the current landmark scatter."""
        side = self.session.active_side
        if self.session.camera(side) is not None:
            self._show_sheet(ScatterPane(self.session, side))

    def _show_sheet(self, page: SheetPage) -> None:
        self.close_scale()
        before = self.centre.currentWidget()
        if isinstance(before, SheetPage):
            self._leave_sheet(before)
        page.closed.connect(lambda: self._leave_sheet(page))
        page.said.connect(self._say_done)
        page.saved.connect(lambda path: self.say(f"Saved as {path}.", "good"))
        self.centre.addWidget(page)
        self.centre.setCurrentWidget(page)

    def _leave_sheet(self, page: SheetPage) -> None:
        self.centre.removeWidget(page)
        page.deleteLater()
        self.centre.setCurrentWidget(self._work)
        self._on_selection_changed()  # where there is no delivery, to where one begins

    def _on_again_wanted(self) -> None:
        page = self.centre.currentWidget()
        if isinstance(page, SheetPage):
            self._leave_sheet(page)
        self.place_again()
