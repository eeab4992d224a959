"""The walkthrough clip: its panel, drawing on the stages, the picture seen large, the clip itself."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import Any, Literal

from PySide6.QtCore import QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QFileDialog

from deliverylab.core.errors import DeliveryLabError
from deliverylab.core.model.walkthrough import DrawingKind
from deliverylab.shell.dialogs.walkthrough import WalkthroughPanel
from deliverylab.shell.messages import error_text
from deliverylab.shell.panes.walk_large import WalkLargePane
from deliverylab.shell.project_files import ProjectFiles
from deliverylab.shell.session import Session, Side, other_side
from deliverylab.shell.session_walkthrough import MadeWalk
from deliverylab.shell.settings import Settings
from deliverylab.shell.walk_content import stop_name
from deliverylab.shell.walk_making import WalkMaking
from deliverylab.shell.window.film import FilmWindow

CLIP_KIND = "Clip (*.mp4)"


class WalkthroughWindow(FilmWindow):
    """Brings drawings to the script, and makes the clip.

    It is made as `IntentWindow` is.
    """

    def __init__(
        self, session: Session, settings: Settings, files: ProjectFiles | None = None
    ) -> None:
        self.walk_large: WalkLargePane | None = None
        super().__init__(session, settings, files)
        making = self.making = WalkMaking(self)
        making.changed.connect(self._on_making_changed)
        making.finished.connect(self._on_clip_made)
        making.failed.connect(self._on_clip_failed)
        making.stopped.connect(lambda: self.say("Stopped. No clip was written."))
        for side, stage in self.stages.items():
            stage.canvas.drawn_by_hand.connect(partial(self._on_drawn, side))
            stage.canvas.drawing_ended.connect(self._end_drawing)
            stage.canvas.pick_taken_back.connect(partial(self._on_drawing_taken_back, side))
        session.frame_changed.connect(self._show_drawings)

    # ----------------------------------------------------------------------------- the panel

    def show_walkthrough(self) -> None:
        """Edit the walkthrough of the two deliveries, beside the stages."""
        self._walk_panel()

    def add_walk_stop(self) -> None:
        """Let the walkthrough stop at the shown frame too."""
        panel = self._open_walk_panel()
        if panel is not None:
            panel.add_stop()
            return
        index = self.session.add_stop()
        name = stop_name(self.session.script().stops[index])
        self._say_done(f"The walkthrough stops here too: {name[:1].lower()}{name[1:]}.", "good")

    def _open_walk_panel(self) -> WalkthroughPanel | None:
        return self.tool if isinstance(self.tool, WalkthroughPanel) else None

    def _walk_panel(self) -> WalkthroughPanel:
        panel = self._open_walk_panel()
        if panel is not None:
            self.centre.setCurrentWidget(self._work)
            return panel
        panel = WalkthroughPanel(self.session, self.making)
        panel.stop_changed.connect(self._show_drawings)
        panel.kind_chosen.connect(self._on_kind_chosen)
        panel.large_wanted.connect(self.show_walk_large)
        panel.preview.drawn.connect(lambda _index, picture: self._show_large_picture(picture))
        panel.maker.clip_wanted.connect(self.ask_clip)
        panel.maker.stop_wanted.connect(self.making.cancel)
        panel.maker.play_wanted.connect(self.play_clip)
        panel.maker.folder_wanted.connect(self.show_clip_folder)
        self.show_tool(panel)
        panel.show_first()
        return panel

    def close_tool(self) -> None:
        """Go back to the readings; a clip that is being made goes on."""
        panel = self._open_walk_panel()
        if panel is not None:
            self._end_drawing()
        super().close_tool()
        if panel is not None:
            for stage in self.stages.values():
                stage.canvas.show_drawings(())
            self._leave_large()

    # ------------------------------------------------------------------------------- drawing

    def _on_kind_chosen(self, kind: DrawingKind | Literal[""]) -> None:
        self.centre.setCurrentWidget(self._work)
        active = self.session.active_side
        for side in (other_side(active), active):
            canvas = self.stages[side].canvas
            if kind:
                canvas.draw_by_hand(kind)
            elif canvas.is_drawing:
                canvas.stop_picking()

    def _end_drawing(self) -> None:
        """Put the pen down on both stages."""
        for stage in self.stages.values():
            if stage.canvas.is_drawing:
                stage.canvas.stop_picking()
        panel = self._open_walk_panel()
        if panel is not None:
            panel.tools.show_kind(None)

    def _on_drawn(self, side: Side, kind: DrawingKind, points: tuple) -> None:
        panel = self._open_walk_panel()
        if panel is not None and panel.chosen >= 0:
            panel.try_to(lambda: self.session.add_drawing(panel.chosen, side, kind, points))

    def _on_drawing_taken_back(self, side: Side) -> None:
        panel = self._open_walk_panel()
        if panel is not None and self.stages[side].canvas.is_drawing:
            panel.remove_last_drawing()

    def _show_drawings(self, *_ignored: object) -> None:
        """Show what was drawn while the stop is seen; elsewhere nothing can be drawn."""
        panel = self._open_walk_panel()
        if panel is None:
            return
        for side, stage in self.stages.items():
            stage.canvas.show_drawings(panel.shown_drawings(side))
        if panel.tools.kind is not None and not self.session.is_stop_shown(panel.chosen):
            self._end_drawing()
        self._name_large(panel)

    # ----------------------------------------------------------------------------- seen large

    def show_walk_large(self) -> None:
        """Show the chosen stop as it will be in the clip, in the place of the stages."""
        panel = self._open_walk_panel()
        if panel is None:
            return
        if self.walk_large is None:
            self.walk_large = WalkLargePane()
            self.walk_large.closed.connect(self._leave_large)
            self.walk_large.stepped.connect(self._on_large_stepped)
            self.centre.addWidget(self.walk_large)
        if panel.last_picture is not None:
            self.walk_large.picture.show_picture(panel.last_picture)
        self._name_large(panel)
        self.centre.setCurrentWidget(self.walk_large)
        self.walk_large.setFocus()

    def _leave_large(self) -> None:
        if self.walk_large is not None and self.centre.currentWidget() is self.walk_large:
            self.centre.setCurrentWidget(self._work)
            self._go_to_stage()

    def _on_large_stepped(self, direction: int) -> None:
        panel = self._open_walk_panel()
        if panel is not None and 0 <= panel.chosen + direction < panel.stops.count():
            panel.show_stop(panel.chosen + direction)

    def _show_large_picture(self, picture: Any) -> None:
        if self.walk_large is not None:
            self.walk_large.picture.show_picture(picture)

    def _name_large(self, panel: WalkthroughPanel) -> None:
        if self.walk_large is not None:
            n_stops = panel.stops.count()
            name = stop_name(self.session.script().stops[panel.chosen]) if n_stops else ""
            self.walk_large.show_place(name, panel.chosen, n_stops)

    # ------------------------------------------------------------------------------- the clip

    def ask_clip(self) -> None:
        """Ask where the clip goes, and make it."""
        panel = self._walk_panel()
        path = self.session.path
        folder = path.parent if path is not None else Path(self.files.folder())
        title = " and ".join(self.session.script().pair)
        chosen, _ = QFileDialog.getSaveFileName(
            self, "Save the walkthrough", str(folder / f"{title}.mp4"), CLIP_KIND
        )
        if not chosen:
            return
        out = Path(chosen)
        out = out if out.suffix else out.with_suffix(".mp4")
        panel.maker.say_problem("")
        try:
            self.making.begin(self.session.walk_work(out, panel.maker.clip_size))
        except DeliveryLabError as error:
            panel.maker.say_problem(error_text(error))

    def _on_making_changed(self) -> None:
        """Say how far the clip is, where the panel does not."""
        if self.making.is_busy and self._open_walk_panel() is None:
            share = f"Making the clip: {self.making.share:.0%}"
            self.say(share, "note", "Stop", self.making.cancel)

    def _on_clip_made(self, made: MadeWalk) -> None:
        text = f"Made {made.path.name}."
        if made.without:
            text += (
                f" The body alone is shown where there are no pictures: {', '.join(made.without)}."
            )
        self.say(text, "caution" if made.without else "good", "Play it", self.play_clip)

    def _on_clip_failed(self, error: DeliveryLabError) -> None:
        panel = self._open_walk_panel()
        if panel is None:
            self.show_error(error)
        else:
            panel.maker.say_problem(error_text(error))

    def play_clip(self) -> None:
        """Open the clip that was made last with the system's own player."""
        if self.making.made is not None:
            QDesktopServices.openUrl(QUrl.fromLocalFile(str(self.making.made)))

    def show_clip_folder(self) -> None:
        """Open the folder in which the clip lies."""
        if self.making.made is not None:
            QDesktopServices.openUrl(QUrl.fromLocalFile(str(self.making.made.parent)))
