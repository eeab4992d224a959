"""What the table of actions asks of the window: dialogs, outputs, look, and Qt's own calls."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QApplication, QDialog

from deliverylab.core.units import UnitSystem
from deliverylab.core.vocabulary.events import BY_KEY as EVENTS
from deliverylab.shell.dialogs.about import about_dialog, cautions_dialog, keys_dialog
from deliverylab.shell.dialogs.head import HeadDialog
from deliverylab.shell.dialogs.new_delivery import NewDeliveryDialog
from deliverylab.shell.dialogs.relink import RelinkDialog
from deliverylab.shell.dialogs.scale import ScalePanel
from deliverylab.shell.jobs import wait_for_jobs
from deliverylab.shell.project_files import CLIP_SUFFIXES, SUFFIX, TABLE_SUFFIXES, ProjectFiles
from deliverylab.shell.session import SIDES, Session, Side, other_side
from deliverylab.shell.settings import BY_KEY as SETTINGS
from deliverylab.shell.settings import Settings
from deliverylab.shell.theme import theme
from deliverylab.shell.window.exchange import ExchangeWindow


class IntentWindow(ExchangeWindow):
    """Carries out what actions ask for; what is next is known by `Window`.

    Parameters
    ----------
    session : Session
        What is worked on.
    settings : Settings
        What is remembered.
    files : ProjectFiles, optional
        How projects are opened and saved; the usual way when left out.
    """

    def __init__(
        self, session: Session, settings: Settings, files: ProjectFiles | None = None
    ) -> None:
        super().__init__(session, settings, files)
        self.scale_panel: ScalePanel | None = None
        self._connect_requests()

    def _connect_requests(self) -> None:
        self.files.opened.connect(self._on_project_opened)
        self.checklist.relink_wanted.connect(self.relink)
        self.top_bar.partner_wanted.connect(lambda: self.add_clip("model"))
        self.welcome.clip_wanted.connect(self.add_clip)
        self.welcome.project_wanted.connect(self.ask_project)
        self.welcome.example_wanted.connect(self.open_example)
        self.welcome.recent_chosen.connect(lambda path: self.files.open(Path(path)))
        self.page.head_wanted.connect(self.edit_head)
        self.top_bar.head_wanted.connect(self.edit_head)
        for stage in self.stages.values():
            stage.relink_requested.connect(lambda _side: self.relink())
            stage.action_wanted.connect(self._on_action_wanted)
            stage.canvas.points_picked.connect(self._on_points_picked)
            stage.canvas.picking_cancelled.connect(self._on_picking_cancelled)
            stage.canvas.handle_moved.connect(self._on_handle_moved)

    # ---------------------------------------------------------------------- projects and clips

    def new_project(self) -> None:
        """Begin with an empty project."""
        self.files.new()

    def ask_project(self) -> None:
        """Ask for a project and open it."""
        self.files.ask_project()

    def save(self) -> None:
        """Save."""
        self.files.save()

    def save_as(self) -> None:
        """Save under another name."""
        self.files.save_as()

    def add_clip(self, side: Side | None = None, clip: Path | None = None) -> None:
        """Add a delivery from a clip, asking for the clip where none is given."""
        chosen = clip or self.files.ask_clip()
        if chosen is not None:
            self._ask_delivery(chosen, side)

    def add_without_clip(self) -> None:
        """Add a delivery whose positions come from elsewhere."""
        self._ask_delivery(None, None)

    def add_camera(self) -> None:
        """Add what another camera saw of the active delivery, asking for its clip."""
        delivery = self.session.delivery(self.session.active_side)
        chosen = self.files.ask_clip() if delivery is not None else None
        if delivery is not None and chosen is not None:
            self._ask_delivery(chosen, None, of_delivery=delivery.name)

    def _ask_delivery(
        self, clip: Path | None, side: Side | None, *, of_delivery: str | None = None
    ) -> None:
        dialog = NewDeliveryDialog(
            self.session, clip, side=side, of_delivery=of_delivery, parent=self
        )
        dialog.accepted.connect(self._go_to_stage)
        self._open(dialog)

    def _on_project_opened(self, _path: str) -> None:
        self._go_to_stage()

    def _go_to_stage(self) -> None:
        """Give the keyboard to the active stage, so that arrows step at once."""
        self.stages[self.session.active_side].canvas.setFocus()

    def _open(self, dialog: QDialog) -> None:
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.open()

    def edit_head(self) -> None:
        """Ask for what the page and the window are headed by."""
        self._open(HeadDialog(self.session, self))

    def _on_action_wanted(self, side: str, key: str) -> None:
        """Carry an action out on the stage whose header asked for it."""
        self.session.activate("model" if side == "model" else "athlete")
        self.actions_by_key[key].trigger()

    def edit_facts(self) -> None:
        """Correct who threw, when, and how it was filmed."""
        delivery = self.session.delivery(self.session.active_side)
        if delivery is not None:
            self._open(NewDeliveryDialog(self.session, existing=delivery.name, parent=self))

    def relink(self) -> None:
        """Ask where lost clips lie."""
        self._open(RelinkDialog(self.session, self))

    def remove_delivery(self) -> None:
        """Take the active delivery out of the project; undo brings it back."""
        delivery = self.session.delivery(self.session.active_side)
        if delivery is not None:
            self.session.remove_delivery(delivery.name)
            self.say(f"{delivery.name} is out of the project.", "note", "Undo", self.session.undo)

    def remove_camera(self) -> None:
        """Take the active stage's camera out of its delivery; undo brings it back."""
        delivery = self.session.delivery(self.session.active_side)
        camera = self.session.camera(self.session.active_side)
        if delivery is not None and camera is not None:
            self.session.remove_camera(delivery.name, camera.name)
            self.say(
                f"Camera {camera.name} of {delivery.name} is out of the project.",
                "note",
                "Undo",
                self.session.undo,
            )

    def show_page(self) -> None:
        """Show the page of the two deliveries."""
        self.close_scale()
        self.centre.setCurrentWidget(self.page)
        self.page.make()

    # ----------------------------------------------------------------------------------- scale

    def set_scale(self, side: Side | None = None) -> None:
        """Ask beside the stage how pixels become metres."""
        side = side or self.session.active_side
        if self.session.camera(side) is None:
            return
        self.close_scale()
        self.session.activate(side)
        self.centre.setCurrentIndex(1)
        panel = ScalePanel(self.session, side)
        panel.setObjectName("pane")
        panel.points_wanted.connect(self._on_points_wanted)
        panel.handles_changed.connect(self.stages[side].show_handles)
        panel.closed.connect(self.close_scale)
        self.scale_panel = panel
        self.right.addWidget(panel)
        self.right.setCurrentWidget(panel)
        if self.session.scale(side) is None:
            panel.ask("scale")
        else:
            panel.give_up_points()

    def close_scale(self) -> None:
        """Go back to the readings."""
        panel, self.scale_panel = self.scale_panel, None
        if panel is not None:
            panel.handles_changed.disconnect()
            self.stages[panel.side].canvas.stop_picking()
            self.stages[panel.side].show_handles(None)
            self.right.removeWidget(panel)
            panel.deleteLater()
        self.right.setCurrentIndex(0)

    def _on_points_wanted(self, n_points: int, prompt: str) -> None:
        if self.scale_panel is not None:
            canvas = self.stages[self.scale_panel.side].canvas
            if n_points:
                canvas.pick_points(n_points, [prompt] * n_points)
            else:
                canvas.stop_picking()

    def _on_points_picked(self, points: list[tuple[float, float]]) -> None:
        if self.scale_panel is not None:
            self.scale_panel.take_points(points)

    def _on_picking_cancelled(self) -> None:
        if self.scale_panel is not None:
            self.scale_panel.give_up_points()

    def _on_handle_moved(self, key: str, x_px: float, y_px: float) -> None:
        if self.scale_panel is not None:
            self.scale_panel.move_point(key, x_px, y_px)

    # ---------------------------------------------------------------------- the active delivery

    def mark_event(self, event: str) -> None:
        """Mark an event at the shown frame of the active stage."""
        session = self.session
        side = session.active_side
        session.mark_event(side, event)
        frame, time_s = session.state(side).frame, session.time_s(side)
        name = EVENTS[event].name
        self.say(f"{name[:1].upper()}{name[1:]} is at frame {frame}, {time_s:.3f} s.", "good")

    def remove_mark(self) -> None:
        """Remove the mark at the shown frame."""
        session = self.session
        event = session.event_at_frame(session.active_side)
        if event:
            session.remove_mark(session.active_side, event)

    def skip_landmark(self) -> None:
        """Pass over the landmark that is asked for."""
        self.session.skip_landmark(self.session.active_side)

    def hide_landmark(self) -> None:
        """Say that the landmark asked for cannot be seen."""
        side = self.session.active_side
        landmark = self.session.next_landmark(side)
        if landmark:
            self.session.set_hidden(side, landmark, True)

    def remove_landmark(self) -> None:
        """Take the current landmark's position away."""
        side = self.session.active_side
        landmark = self.session.current_landmark(side)
        if landmark:
            self.session.remove_landmark(side, landmark)

    def other_side(self) -> None:
        """Send keys to the other stage."""
        side = other_side(self.session.active_side)
        self.session.activate(side)
        self.stages[self.session.active_side].canvas.setFocus()

    # ------------------------------------------------------------------------------------ look

    def set_look(self, look: str) -> None:
        """Choose dark or light."""
        self.settings.put("look", look)
        self.dress()

    def change_type_size(self, direction: int) -> None:
        """Make type larger or smaller by one step."""
        sizes = SETTINGS["type_scale"].choices
        at = sizes.index(self.settings.get("type_scale")) + direction
        self.settings.put("type_scale", sizes[max(0, min(len(sizes) - 1, at))])
        self.dress()

    def dress(self) -> None:
        """Apply the remembered look."""
        app = QApplication.instance()
        if isinstance(app, QApplication):
            theme().apply(app, self.settings.get("look"), self.settings.get("type_scale"))

    def set_units(self, system: UnitSystem) -> None:
        """Choose the reader's units, for this project and those to come."""
        self.settings.put("unit_system", system)
        self.session.set_unit_system(system)

    def set_full_screen(self, is_full: bool) -> None:
        """Fill the screen, or not."""
        self.setWindowState(
            self.windowState() | Qt.WindowState.WindowFullScreen
            if is_full
            else self.windowState() & ~Qt.WindowState.WindowFullScreen
        )

    def show_keys(self) -> None:
        """Show which keys there are."""
        keys_dialog(self).open()

    def show_cautions(self) -> None:
        """Show what the numbers mean."""
        cautions_dialog(self).open()

    def show_about(self) -> None:
        """Show what this program is."""
        about_dialog(self).open()

    # --------------------------------------------------------------------------- Qt's own calls

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Accept clips, project files and tables of positions."""
        if any(_kind(Path(url.toLocalFile())) for url in event.mimeData().urls()):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Open a project, ask about a clip, or place the positions of a table."""
        for url in event.mimeData().urls():
            path = Path(url.toLocalFile())
            kind = _kind(path)
            if kind:
                event.acceptProposedAction()
                self.take_file(path, self._side_at(event.position().toPoint()))
                return

    def _side_at(self, place: QPoint) -> Side | None:
        """Return the stage at a place of the window, or None."""
        for side in SIDES:
            stage = self.stages[side]
            if stage.isVisible() and stage.rect().contains(stage.mapFrom(self, place)):
                return side
        return None

    def take_file(self, path: Path, side: Side | None = None) -> None:
        """Open a project file, place a table's positions, or add a delivery from a clip."""
        kind = _kind(path)
        if kind == "project":
            self.files.open(path)
        elif kind == "positions":
            self.place_table(path, side)
        else:
            self.add_clip(clip=path)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Ask before unsaved edits are lost; remember where everything stood."""
        if not self.files.may_leave():
            event.ignore()
            return
        self.settings.put("geometry", self.saveGeometry().toBase64().toStdString())
        self.settings.put("columns", self.columns.sizes())
        self.files.journal.discard()
        for stage in self.stages.values():
            stage.release()
        wait_for_jobs()
        event.accept()


def _kind(path: Path) -> str:
    """Return what a dropped file is: a project, positions, a clip, or nothing of ours."""
    kinds = {"project": (SUFFIX,), "positions": TABLE_SUFFIXES, "clip": CLIP_SUFFIXES}
    return next((kind for kind, endings in kinds.items() if path.suffix.lower() in endings), "")
