"""Cameras on the field: the panel beside the stage, and the clicks that come to it."""

from __future__ import annotations

from PySide6.QtCore import QRectF

from deliverylab.shell.dialogs.field import FieldPanel
from deliverylab.shell.field_request import FieldRequest
from deliverylab.shell.panes.cameras import CamerasPane
from deliverylab.shell.panes.field_sheet import FieldSheetPane
from deliverylab.shell.project_files import ProjectFiles
from deliverylab.shell.session import Session, other_side
from deliverylab.shell.settings import Settings
from deliverylab.shell.window.placing import PlacingWindow

CLOSE_SHARE = 0.2
"""Share of the picture's width that is shown while the corners of the rubber are clicked."""


class FieldWindow(PlacingWindow):
    """Brings clicks on the field to their panel, with the stage as large as it can be.

    It is made as `IntentWindow` is.
    """

    def __init__(
        self, session: Session, settings: Settings, files: ProjectFiles | None = None
    ) -> None:
        self._is_close_up = False
        self.cameras: CamerasPane | None = None
        super().__init__(session, settings, files)
        for stage in self.stages.values():
            stage.canvas.points_picked.connect(self._on_field_clicked)
            stage.canvas.picking_cancelled.connect(self._on_field_given_up)
            stage.canvas.pick_skipped.connect(self._skipped_field)
            stage.canvas.pick_taken_back.connect(self._on_field_taken_back)
            stage.canvas.handle_moved.connect(self._on_field_moved)

    # ----------------------------------------------------------------------------- the panel

    def show_field(self) -> None:
        """Click the field and solve the cameras of the active stage's delivery."""
        side = self.session.active_side
        if self.session.camera(side) is None:
            return
        panel = self._field_panel()
        if panel is None or panel.side != side:
            panel = FieldPanel(self.session, side)
            panel.wanted.connect(self._on_field_wanted)
            panel.second_clip_wanted.connect(self.add_camera)
            panel.above_wanted.connect(self.show_cameras)
            panel.sheet_wanted.connect(self.show_field_sheet)
            self.show_tool(panel)
            self._give_field_room()
            self.stages[side].set_bare(True)
            self.stages[side].canvas.show_whole()
        self.centre.setCurrentWidget(self._work)
        panel.refresh()

    def solve_field(self) -> None:
        """Solve the cameras of the active stage's delivery from the clicks that are there."""
        self.show_field()
        panel = self._field_panel()
        if panel is not None:
            panel.solve()

    def _field_panel(self) -> FieldPanel | None:
        return self.tool if isinstance(self.tool, FieldPanel) else None

    def close_tool(self) -> None:
        """Go back to the readings; the other stage comes back, and the landmarks."""
        panel = self._field_panel()
        if panel is not None:
            panel.wanted.disconnect()
            self._is_close_up = False
        super().close_tool()
        if panel is not None:
            stage = self.stages[panel.side]
            stage.canvas.stop_picking()
            stage.canvas.set_field_marks(())
            stage.show_handles(None)
            stage.set_bare(False)
            self._on_selection_changed()

    def _on_selection_changed(self, *ignored: object) -> None:
        super()._on_selection_changed(*ignored)
        self._give_field_room()

    def _give_field_room(self) -> None:
        """Leave the whole width to the stage on which the field is clicked."""
        panel = self._field_panel()
        if panel is not None:
            self.stages[panel.side].show()
            self.stages[other_side(panel.side)].hide()
        elif self.session.delivery("athlete") is not None:
            self.stages["athlete"].show()

    # ------------------------------------------------------------------------------ the pages

    def show_cameras(self) -> None:
        """Show the solved cameras of the active stage's delivery from above, and their clocks."""
        if self.session.camera(self.session.active_side) is None:
            return
        self._leave_cameras()
        pane = CamerasPane(self.session, self.session.active_side)
        pane.closed.connect(self._leave_cameras)
        pane.field_wanted.connect(self._on_field_wanted_again)
        self.cameras = pane
        self.centre.addWidget(pane)
        self.centre.setCurrentWidget(pane)

    def _leave_cameras(self) -> None:
        pane, self.cameras = self.cameras, None
        if pane is not None:
            self.centre.removeWidget(pane)
            pane.deleteLater()
            self.centre.setCurrentWidget(self._work)
            self._on_selection_changed()

    def _on_field_wanted_again(self) -> None:
        self._leave_cameras()
        self.show_field()

    def show_field_sheet(self) -> None:
        """Show the set-up sheet, to be saved or printed."""
        pane = FieldSheetPane(self.session, self.settings.get("paper"))
        pane.paper_chosen.connect(lambda paper: self.settings.put("paper", paper))
        self._show_sheet(pane)

    # ------------------------------------------------------------------------------ the stage

    def _on_field_wanted(self, request: FieldRequest) -> None:
        panel = self._field_panel()
        if panel is None:
            return
        canvas = self.stages[panel.side].canvas
        self.stages[panel.side].show_handles(request.handles, "Field", request.hint)
        canvas.set_field_marks(request.marks)
        canvas.choose_handle(request.current)
        if request.prompt:
            self._come_close(panel, request)
            canvas.pick_points(1, [request.prompt])
        elif canvas.is_picking:
            canvas.stop_picking()

    def _come_close(self, panel: FieldPanel, request: FieldRequest) -> None:
        """Show the rubber large while its corners are clicked, and the whole picture else."""
        canvas = self.stages[panel.side].canvas
        if request.near_px is None:
            if self._is_close_up:
                self._is_close_up = False
                canvas.show_whole()
        elif not self._is_close_up:
            self._is_close_up = True
            width = CLOSE_SHARE * canvas.view.frame_width
            if canvas.view.width / canvas.view.zoom > width:
                height = width * canvas.view.height / canvas.view.width
                x_px, y_px = request.near_px
                canvas.show_part(QRectF(x_px - width / 2, y_px - height / 2, width, height))

    def _on_field_clicked(self, points: list[tuple[float, float]]) -> None:
        panel = self._field_panel()
        if panel is not None and len(points) == 1:
            panel.take(*points[0], self.stages[panel.side].canvas.view.zoom)

    def _on_field_moved(self, key: str, x_px: float, y_px: float) -> None:
        panel = self._field_panel()
        if panel is not None:
            panel.move_click(key, x_px, y_px, self.stages[panel.side].canvas.view.zoom)

    def _on_field_taken_back(self) -> None:
        panel = self._field_panel()
        if panel is not None:
            panel.take_back()

    def _on_field_given_up(self) -> None:
        panel = self._field_panel()
        if panel is not None and panel.asked:
            panel.stop()

    def _skipped_field(self) -> bool:
        """Leave out the point of the field that is asked for; return whether one is."""
        panel = self._field_panel()
        if panel is None or not panel.asked:
            return False
        panel.skip()
        return True

    def skip_landmark(self) -> None:
        """Pass over what is asked for: a point of the field while it is clicked."""
        if not self._skipped_field():
            super().skip_landmark()

    def hide_landmark(self) -> None:
        """Say that what is asked for cannot be seen."""
        if not self._skipped_field():
            super().hide_landmark()

    def remove_landmark(self) -> None:
        """Take back what was placed last: a click while the field is clicked."""
        panel = self._field_panel()
        if panel is None:
            super().remove_landmark()
        else:
            panel.take_back()
