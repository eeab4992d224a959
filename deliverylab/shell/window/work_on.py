"""What the athlete works on, and the instructor's own library, beside the stages."""

from __future__ import annotations

from deliverylab.core.model.library import Library, LinkEnd
from deliverylab.shell.dialogs.library import LibraryPanel
from deliverylab.shell.dialogs.work_on import WorkOnPanel
from deliverylab.shell.window.film import FilmWindow


class WorkOnWindow(FilmWindow):
    """Shows the plan, and the library from which it is worded.

    It is made as `IntentWindow` is.
    """

    def show_work_on(self) -> None:
        """Choose and word what the athlete works on."""
        if isinstance(self.tool, WorkOnPanel):
            self.centre.setCurrentWidget(self._work)
            return
        panel = WorkOnPanel(self.session)
        panel.library_wanted.connect(self._show_library_of_plan)
        self.show_tool(panel)
        panel.suggest.setFocus()

    def show_library(self) -> None:
        """Show the instructor's own cues, drills and links."""
        if isinstance(self.tool, LibraryPanel):
            return
        panel = LibraryPanel(self.session)
        panel.kept.connect(self._on_library_kept)
        self.show_tool(panel)
        panel.what.measured.setFocus()

    def _show_library_of_plan(self) -> None:
        """Show the library for what is worked on first; the plan comes back after it."""
        priorities = self.session.work_plan().priorities
        self.close_tool()
        self.show_library()
        if isinstance(self.tool, LibraryPanel):
            if priorities:
                first = priorities[0]
                self.tool.show_for(LinkEnd(first.metric, first.event, first.way))
            self.tool.closed.connect(self.show_work_on)

    def _on_library_kept(self, said: str, before: Library) -> None:
        self.say(said, "good", "Undo", lambda: self._take_library_back(before))

    def _take_library_back(self, before: Library) -> None:
        self.session.set_library(before)
        if isinstance(self.tool, LibraryPanel):
            self.tool.refresh()
