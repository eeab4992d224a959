"""What the differences start with, below the stages in the place of the frames."""

from __future__ import annotations

from deliverylab.core.model.library import Library
from deliverylab.shell.project_files import ProjectFiles
from deliverylab.shell.session import Session
from deliverylab.shell.settings import Settings
from deliverylab.shell.window.intents import IntentWindow

CAUSES_SHARE = 0.54
"""Of the height of stages and causes."""


class CausesWindow(IntentWindow):
    """Shows the chain of the two deliveries, or the frames again.

    It is made as `IntentWindow` is.
    """

    def __init__(
        self, session: Session, settings: Settings, files: ProjectFiles | None = None
    ) -> None:
        # how the height was shared before the causes were seen; empty while they are not
        self._shares_before: list[int] = []
        super().__init__(session, settings, files)
        self.causes.failed.connect(self.show_error)
        self.causes.left_out.connect(self._on_link_left_out)
        session.display_changed.connect(self._on_partner_changed)

    def show_causes(self, is_wanted: bool = True) -> None:
        """Show what the differences start with below the stages, or the frames."""
        if is_wanted:
            self.centre.setCurrentWidget(self._work)
        sizes = self._work.sizes()
        self.causes.setVisible(is_wanted)
        self.scrub.setVisible(not is_wanted)
        self.actions_by_key["causes"].setChecked(is_wanted)
        if is_wanted:
            self._give_height(sizes)
            self.causes.canvas.setFocus()
        elif self._shares_before:
            self._work.setSizes(self._shares_before)
            self._shares_before = []

    def _give_height(self, before: list[int]) -> None:
        """Give the causes a little more than half of the height, as long as they are seen."""
        if not self._shares_before:
            self._shares_before = before
            share = round(CAUSES_SHARE * self._work.height())
            parts = (self._work.widget(number) for number in range(self._work.count()))
            self._work.setSizes(
                [share if part is self.causes else self._work.height() - share for part in parts]
            )

    def _on_partner_changed(self, *_ignored: object) -> None:
        """Go back to the frames where nobody is compared with any more."""
        if self.causes.isVisibleTo(self) and self.session.compared() is None:
            self.show_causes(is_wanted=False)

    def _on_link_left_out(self, words: str, before: Library) -> None:
        self.say(f"Left out: {words}.", "good", "Undo", lambda: self.session.set_library(before))
