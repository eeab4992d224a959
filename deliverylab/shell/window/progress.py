"""Who is compared with whom, and an athlete's progress in the place of the stages."""

from __future__ import annotations

from deliverylab.shell.panes.progress import ProgressPane
from deliverylab.shell.project_files import ProjectFiles
from deliverylab.shell.session import Session
from deliverylab.shell.settings import Settings
from deliverylab.shell.window.placing import PlacingWindow


class ProgressWindow(PlacingWindow):
    """Shows differences and progress.

    It is made as `IntentWindow` is.
    """

    def __init__(
        self, session: Session, settings: Settings, files: ProjectFiles | None = None
    ) -> None:
        super().__init__(session, settings, files)
        self.comparison.failed.connect(self.show_error)

    def show_differences(self) -> None:
        """Show the differences in the column of the numbers."""
        self.close_scale()
        self.centre.setCurrentWidget(self._work)
        self.show_numbers("differences")

    def show_progress(self) -> None:
        """Show how an athlete's numbers went over visits, by the projects of this one's folder."""
        pane = ProgressPane(self.session)
        self._show_sheet(pane)
        pane.metrics.setFocus()
