"""The landmark detector: its panel, and the box that is drawn on the stage for it."""

from __future__ import annotations

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.dialogs.detecting import BOX, CHOOSE, DetectPanel
from deliverylab.shell.drawing.stage_boxes import StageBox
from deliverylab.shell.project_files import ProjectFiles
from deliverylab.shell.session import Session, Side
from deliverylab.shell.session_detecting import Box
from deliverylab.shell.session_sides import AskedSides
from deliverylab.shell.settings import Settings
from deliverylab.shell.window.film import FilmWindow

NAMED_HALF_PX = 16.0
"""Half the side of the box round a joint whose side is asked for, px of the screen."""


class DetectingWindow(FilmWindow):
    """Brings boxes to the detector's panel, and what waits to the stage.

    It is made as `IntentWindow` is.
    """

    def __init__(
        self, session: Session, settings: Settings, files: ProjectFiles | None = None
    ) -> None:
        super().__init__(session, settings, files)
        for stage in self.stages.values():
            stage.canvas.box_drawn.connect(self._on_box_drawn)
            stage.canvas.box_given_up.connect(self._on_box_given_up)
        session.frame_changed.connect(self._on_frame_left)

    def show_detect(self) -> None:
        """Show the detector beside the active stage; where nothing was found yet, ask for a box."""
        panel = self._detect_panel()
        if panel is not None and panel.is_fresh:
            panel.ask_box()

    def offer_detector(self) -> None:
        """Show the detector where it is installed and nothing is placed yet; a person starts it."""
        camera = self.session.camera(self.session.active_side)
        if camera is None or camera.clip is None or camera.tracks:
            return
        try:
            has_detector = self.session.has_detector()
        except DeliveryLabError as error:
            self.show_error(error)
            return
        if has_detector:
            self._detect_panel()

    def step_waiting(self, direction: int) -> None:
        """Go to the next (1) or the place before (-1) that the detector left to a person."""
        panel = self._detect_panel()
        if panel is not None:
            panel.queue.step(direction)

    def _open_detect_panel(self) -> DetectPanel | None:
        return self.tool if isinstance(self.tool, DetectPanel) else None

    def _detect_panel(self) -> DetectPanel | None:
        side = self.session.active_side
        if self.session.camera(side) is None:
            return None
        panel = self._open_detect_panel()
        if panel is not None and panel.side == side:
            return panel
        panel = DetectPanel(self.session, side)
        panel.box_wanted.connect(self._on_box_wanted)
        panel.box_unwanted.connect(self._on_box_unwanted)
        panel.sides_shown.connect(self._on_sides_shown)
        panel.stage_wanted.connect(lambda _side: self._go_to_stage())
        self.show_tool(panel)
        return panel

    def close_tool(self) -> None:
        """Go back to the readings; no box is asked for any more."""
        panel = self._open_detect_panel()
        super().close_tool()
        if panel is not None:
            self._stop_boxing(panel.side)
            self.stages[panel.side].canvas.show_boxes(())

    def _on_sides_shown(self, asked: AskedSides | None) -> None:
        """Name in the frame what the detector takes for which side; no question: nothing."""
        panel = self._open_detect_panel()
        if panel is None:
            return
        canvas = self.stages[panel.side].canvas
        if asked is None:
            canvas.show_boxes(())
            return
        self.session.show_frame(panel.side, asked.frame)
        half = NAMED_HALF_PX / canvas.view.zoom
        canvas.show_boxes(
            [
                StageBox(x_px - half, y_px - half, x_px + half, y_px + half, name)
                for name, x_px, y_px in asked.places
            ]
        )

    def _on_frame_left(self, side: str, _frame: int) -> None:
        """Take names away that belong to another frame."""
        panel = self._open_detect_panel()
        if panel is not None and panel.side == side:
            canvas = self.stages[panel.side].canvas
            if not canvas.is_boxing and canvas.scene.boxes:
                canvas.show_boxes(())

    def _stop_boxing(self, side: Side) -> None:
        canvas = self.stages[side].canvas
        if canvas.is_boxing:
            canvas.stop_picking()

    def _on_box_wanted(self, people: tuple[Box, ...]) -> None:
        """Show the first frame, in which the box is meant, all of it."""
        panel = self._open_detect_panel()
        camera = None if panel is None else self.session.camera(panel.side)
        if panel is None or camera is None:
            return
        self.session.activate(panel.side)
        self.session.show_frame(panel.side, camera.first_frame)
        canvas = self.stages[panel.side].canvas
        canvas.show_whole()
        named = [StageBox(*box, str(number)) for number, box in enumerate(people, 1)]
        canvas.pick_box(CHOOSE if people else BOX, named)
        canvas.setFocus()

    def _on_box_unwanted(self) -> None:
        panel = self._open_detect_panel()
        if panel is not None:
            self._stop_boxing(panel.side)

    def _on_box_drawn(self, *corners: float) -> None:
        panel = self._open_detect_panel()
        if panel is not None:
            left_px, top_px, right_px, bottom_px = corners
            panel.take_box(left_px, top_px, right_px, bottom_px)

    def _on_box_given_up(self) -> None:
        panel = self._open_detect_panel()
        if panel is not None:
            panel.give_up_box()
