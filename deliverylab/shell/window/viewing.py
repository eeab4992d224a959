"""The figure in space and the points to look at, in the column of the numbers."""

from __future__ import annotations

from deliverylab.shell.project_files import ProjectFiles
from deliverylab.shell.session import Session
from deliverylab.shell.settings import Settings
from deliverylab.shell.window.intents import IntentWindow
from deliverylab.shell.window.layout import NUMBERS

SPACE = NUMBERS.index("space")
TO_LOOK_AT = NUMBERS.index("to_look_at")


class ViewingWindow(IntentWindow):
    """Shows the figure and goes from point to point.

    It is made as `IntentWindow` is.
    """

    def __init__(
        self, session: Session, settings: Settings, files: ProjectFiles | None = None
    ) -> None:
        super().__init__(session, settings, files)
        self._numbers_before = 0
        self.space.action_wanted.connect(self._on_action_wanted)
        self.to_look_at.stage_wanted.connect(self._on_point_shown)
        self.to_look_at.failed.connect(self.show_error)
        self.to_look_at.counted.connect(self._on_looks_counted)
        self._tabs.currentChanged.connect(self._on_tab_changed)

    def show_space(self, is_wanted: bool = True) -> None:
        """Show the figure in space in the column of the numbers, or what stood there before."""
        if not is_wanted:
            self._tabs.setCurrentIndex(self._numbers_before)
            return
        self.close_scale()
        self.centre.setCurrentWidget(self._work)
        self._tabs.setCurrentIndex(SPACE)

    def step_point(self, direction: int) -> None:
        """Go to the next (1) or previous (-1) position that a person should check."""
        self.close_scale()
        self._tabs.setCurrentIndex(TO_LOOK_AT)
        self.to_look_at.step(direction)

    def say_right(self) -> None:
        """Say of the position that is shown from the list that it is right."""
        self.to_look_at.say_right()

    def _on_looks_counted(self, n_looks: int) -> None:
        self._tabs.setTabText(TO_LOOK_AT, f"Check ({n_looks})" if n_looks else "Check")

    def _on_tab_changed(self, index: int) -> None:
        if index != SPACE:
            self._numbers_before = index
        self.actions_by_key["space"].setChecked(index == SPACE)

    def _on_point_shown(self, _side: str) -> None:
        self.centre.setCurrentWidget(self._work)
        self._go_to_stage()
