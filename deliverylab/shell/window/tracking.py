"""Following landmarks through the clip: the panel, and the gaps beside corrected places."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent

from deliverylab.shell.correction_follower import CorrectionFollower
from deliverylab.shell.dialogs.tracking import TrackPanel
from deliverylab.shell.project_files import ProjectFiles
from deliverylab.shell.session import Session
from deliverylab.shell.settings import Settings
from deliverylab.shell.window.film import FilmWindow


class TrackingWindow(FilmWindow):
    """Follows landmarks on the active stage.

    It is made as `IntentWindow` is.
    """

    def __init__(
        self, session: Session, settings: Settings, files: ProjectFiles | None = None
    ) -> None:
        super().__init__(session, settings, files)
        self.corrections = CorrectionFollower(session, self)
        self.corrections.failed.connect(self.show_error)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Close the summary of what was tracked by Escape, where nothing else takes the key."""
        tool = self.tool
        is_read = isinstance(tool, TrackPanel) and not tool.working.is_busy
        if is_read and event.key() == Qt.Key.Key_Escape:
            self.close_tool()
            return
        super().keyPressEvent(event)

    def track_all(self) -> None:
        """Follow all landmarks of the active stage between their placed points."""
        panel = self._track_panel()
        if panel is not None:
            panel.follow()

    def track_one(self) -> None:
        """Follow the landmark that is current, or asked for."""
        panel = self._track_panel()
        if panel is not None:
            panel.follow_one()

    def fill_gaps(self) -> None:
        """Bridge the short gaps of the active stage's landmarks."""
        panel = self._track_panel()
        if panel is not None:
            panel.bridge()

    def _track_panel(self) -> TrackPanel | None:
        side = self.session.active_side
        if self.session.camera(side) is None:
            return None
        if isinstance(self.tool, TrackPanel) and self.tool.side == side:
            return self.tool
        panel = TrackPanel(self.session, side)
        panel.stage_wanted.connect(lambda _side: self._go_to_stage())
        self.show_tool(panel)
        return panel
