"""Following landmarks through the clip: the panel, and the gaps beside corrected places."""

from __future__ import annotations

from typing import Any

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.correction_follower import CorrectionFollower
from deliverylab.shell.dialogs.tracking import TrackPanel
from deliverylab.shell.jobs import Job
from deliverylab.shell.project_files import ProjectFiles
from deliverylab.shell.session import Session, Side
from deliverylab.shell.session_detecting import Footage
from deliverylab.shell.settings import Settings
from deliverylab.shell.window.film import FilmWindow

LOOKING = "Looking at the background"


class TrackingWindow(FilmWindow):
    """Follows landmarks on the active stage.

    It is made as `IntentWindow` is.
    """

    def __init__(
        self, session: Session, settings: Settings, files: ProjectFiles | None = None
    ) -> None:
        super().__init__(session, settings, files)
        self._steadying: Job | None = None
        self.corrections = CorrectionFollower(session, self)
        self.corrections.failed.connect(self.show_error)

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

    def steady(self) -> None:
        """Find how the active stage's camera moved and take it out; where that is done, put it back."""
        side = self.session.active_side
        if self.session.camera(side) is None or self._steadying is not None:
            return
        if self.session.put_motion_back(side):
            self.say("The camera is taken as still again.", "note", "Undo", self.session.undo)
            return
        footage = self.session.footage(side)
        try:
            job = Job(self.session.steadying_work(side), self)
        except DeliveryLabError as error:
            self.show_error(error)
            return
        self._steadying = job
        job.progressed.connect(
            lambda share: self.say(f"{LOOKING}: {share:.0%}", "note", "Stop", job.cancel)
        )
        job.finished.connect(lambda found: self._on_steadied(side, footage, found))
        job.failed.connect(self._on_not_steadied)
        job.ended.connect(self._on_steadying_ended)
        job.start()

    def _on_steadied(self, side: Side, footage: Footage | None, found: Any) -> None:
        try:
            text = self.session.take_steadying(side, footage, found)
        except DeliveryLabError as error:
            self.show_error(error)
            return
        camera = self.session.camera(side)
        is_out = camera is not None and camera.motion is not None
        told = f"{text[:1].upper()}{text[1:]}"
        if is_out:
            told += ". It is taken out; the scale counts as in this frame."
        self.say(told, "good", "Undo" if is_out else "", self.session.undo if is_out else None)

    def _on_not_steadied(self, error: BaseException) -> None:
        if isinstance(error, DeliveryLabError):
            self.show_error(error)
        else:
            raise error

    def _on_steadying_ended(self) -> None:
        if self._steadying is not None and self._steadying.is_cancelled:
            self.say("Stopped. Nothing was changed.")
        self._steadying = None

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
