"""Trying a set-up before anybody films, in the place of the stages."""

from __future__ import annotations

from pathlib import Path

from deliverylab.shell.panes.set_up import SetUpPane
from deliverylab.shell.project_files import ProjectFiles
from deliverylab.shell.session import Session
from deliverylab.shell.settings import Settings
from deliverylab.shell.window.intents import IntentWindow


class PlanningWindow(IntentWindow):
    """Shows the set-up that is tried; the numbers of the deliveries make room for its own.

    It is made as `IntentWindow` is.
    """

    def __init__(
        self, session: Session, settings: Settings, files: ProjectFiles | None = None
    ) -> None:
        super().__init__(session, settings, files)
        self.set_up: SetUpPane | None = None
        self.centre.currentChanged.connect(self._on_centre_changed)
        self.welcome.plan_wanted.connect(self.plan_set_up)
        self.readings.action_wanted.connect(self._on_action_wanted)
        self.readings.stage_wanted.connect(self._on_stage_wanted)

    def plan_set_up(self) -> None:
        """Show how well a set-up would measure, beginning with that of the active delivery."""
        if self.set_up is None:
            self.set_up = SetUpPane(self.session)
            self.set_up.closed.connect(self.leave_set_up)
            self.set_up.saved.connect(
                lambda path: self.say(f"Wrote {Path(path).name}, in SI units and degrees.", "good")
            )
            self.centre.addWidget(self.set_up)
        self.close_scale()
        self.centre.setCurrentWidget(self.set_up)
        self.set_up.begin()

    def leave_set_up(self) -> None:
        """Go back to the stages, or to where one begins."""
        has_delivery = self.session.delivery("athlete") is not None
        self.centre.setCurrentWidget(self._work if has_delivery else self.welcome)

    def _on_centre_changed(self, _index: int) -> None:
        fills = getattr(self.centre.currentWidget(), "fills_window", False)
        self.right.setVisible(not fills)

    def _on_stage_wanted(self) -> None:
        self.centre.setCurrentWidget(self._work)
        self._go_to_stage()
