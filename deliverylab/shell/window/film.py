"""Panels about the film: the ball, a falling ball as a check, the clip's time."""

from __future__ import annotations

from deliverylab.shell.dialogs.ball import BallPanel
from deliverylab.shell.dialogs.clip_time import ClipTimePanel
from deliverylab.shell.dialogs.fall import FallPanel
from deliverylab.shell.messages import Level
from deliverylab.shell.project_files import ProjectFiles
from deliverylab.shell.session import Session, Side
from deliverylab.shell.settings import Settings
from deliverylab.shell.widgets.tool_panel import ToolPanel
from deliverylab.shell.window.intents import IntentWindow

CLICK_BALL = "Click the middle of the ball in frame {frame}"
_LEVELS: dict[str, Level] = {"good": "good", "note": "note", "caution": "caution"}


class FilmWindow(IntentWindow):
    """Show one panel at a time beside the stages, and bring the ball's places to it.

    It is made as `IntentWindow` is.
    """

    def __init__(
        self, session: Session, settings: Settings, files: ProjectFiles | None = None
    ) -> None:
        self.tool: ToolPanel | None = None
        # first frame, last frame and step while the ball is placed by hand, else None
        self._by_hand: tuple[int, int, int] | None = None
        super().__init__(session, settings, files)
        self.checklist.offer_accepted.connect(lambda text: self._say_done(text, "good"))
        for stage in self.stages.values():
            stage.canvas.points_picked.connect(self._on_ball_clicked)
            stage.canvas.picking_cancelled.connect(self._on_ball_given_up)
            stage.canvas.frames_stepped.connect(self._ask_for_ball)
        session.selection_changed.connect(self._on_stage_changed)

    # ---------------------------------------------------------------------------- the panels

    def find_ball(self) -> None:
        """Look for the ball after release, beside the stage."""
        panel = self._ball_panel()
        if panel is not None:
            panel.search()

    def place_ball(self) -> None:
        """Place the ball by hand, frame by frame from release on."""
        panel = self._ball_panel()
        if panel is not None:
            panel.place_by_hand()

    def _ball_panel(self) -> BallPanel | None:
        if self.session.camera(self.session.active_side) is None:
            return None
        if isinstance(self.tool, BallPanel) and self.tool.side == self.session.active_side:
            return self.tool
        panel = BallPanel(self.session, self.session.active_side)
        panel.hand_wanted.connect(self._on_hand_wanted)
        self.show_tool(panel)
        return panel

    def check_fall(self) -> None:
        """Check scale and frame rate by a falling ball."""
        if self.session.camera(self.session.active_side) is not None:
            panel = FallPanel(self.session, self.session.active_side)
            panel.hand_wanted.connect(self._on_hand_wanted)
            self.show_tool(panel)

    def show_clip_time(self) -> None:
        """Show the time of the active stage's clip."""
        if self.session.camera(self.session.active_side) is not None:
            self.show_tool(ClipTimePanel(self.session, self.session.active_side))

    def show_tool(self, panel: ToolPanel) -> None:
        """Put a panel in the right column, in the place of any other."""
        self.close_scale()
        self.centre.setCurrentWidget(self._work)
        panel.closed.connect(self.close_tool)
        panel.said.connect(self._say_done)
        self.tool = panel
        self.right.addWidget(panel)
        self.right.setCurrentWidget(panel)

    def close_tool(self) -> None:
        """Go back to the readings."""
        self._stop_by_hand()
        panel, self.tool = self.tool, None
        if panel is not None:
            panel.give_up()
            self.right.removeWidget(panel)
            panel.deleteLater()
            self.right.setCurrentIndex(0)

    def close_scale(self) -> None:
        """Go back to the readings from the scale, or from a panel here."""
        self.close_tool()
        super().close_scale()

    def _say_done(self, text: str, level: str) -> None:
        self.say(text, _LEVELS[level], "Undo", self.session.undo)

    def _on_stage_changed(self, side: str) -> None:
        """Let a panel go whose delivery is no longer on its stage."""
        if self.tool is not None and self.tool.side == side and not self.tool.follows_clips:
            self.close_tool()

    # --------------------------------------------------------------------- the ball by hand

    def _on_hand_wanted(self, first: int, last: int, step: int) -> None:
        self._by_hand = (first, last, step)
        # a ball soon leaves the part of the picture in which the body is
        self.stages[self._ball_side()].canvas.show_whole()
        self.session.show_frame(self._ball_side(), first)
        self._ask_for_ball()

    def _ball_side(self) -> Side:
        return self.session.active_side if self.tool is None else self.tool.side

    def _ask_for_ball(self, *_ignored: object) -> None:
        """Ask for the ball in the shown frame, while it is placed by hand."""
        if self._by_hand is not None:
            side = self._ball_side()
            prompt = CLICK_BALL.format(frame=self.session.state(side).frame)
            self.stages[side].canvas.pick_points(1, [prompt])

    def _on_ball_clicked(self, points: list[tuple[float, float]]) -> None:
        if self._by_hand is None or len(points) != 1:
            return
        side = self._ball_side()
        _, last, step = self._by_hand
        self.session.place_landmark(side, "ball", *points[0])
        frame = self.session.state(side).frame
        if frame + step > last:
            self._stop_by_hand()
            return
        self.session.show_frame(side, frame + step)
        self._ask_for_ball()

    def _on_ball_given_up(self) -> None:
        self._by_hand = None

    def _stop_by_hand(self) -> None:
        if self._by_hand is not None:
            self._by_hand = None
            self.stages[self._ball_side()].canvas.stop_picking()
