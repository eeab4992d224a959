"""Packing a project to share it: what goes in, what stays behind, and how a blurred head looks."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import QCheckBox, QFileDialog, QLabel, QPushButton, QVBoxLayout, QWidget

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.drawing.rgb_image import rgb_image
from deliverylab.shell.drawing.text_label import tell
from deliverylab.shell.drawing.verdict_card import Verdict
from deliverylab.shell.pack_work import Choices, Preview, pack_work, preview_work, unlocated
from deliverylab.shell.session import Session, Side
from deliverylab.shell.widgets.tool_panel import ToolPanel, Working

PREVIEW_WIDTH = 270
KINDS = "Packed projects (*.zip)"
LOCATED = "The athlete's head is located here."
NOT_LOCATED = (
    "No head is located here: this picture is blurred all over. Place or track the top of the head and "
    "the neck to have it otherwise."
)
UNLOCATED = (
    "In {n} of {of} pictures no landmark tells where the head is: unless the detector does, they will be "
    "blurred all over."
)
FACES = (
    "The athlete's head, by landmarks or the detector; where neither tells, the whole picture. Others "
    "only where a simple finder sees a face: look the clips through before you hand them on."
)
NAMES = (
    "Aliases stand for athletes and deliveries; title, notes, voices and file names stay behind."
)
STOPPED = "Stopped. Nothing was written."


class PackPanel(ToolPanel):
    """Choose what is packed, look at a blurred picture, write the zip."""

    follows_clips = True

    def __init__(self, session: Session, side: Side, parent: QWidget | None = None) -> None:
        super().__init__("Pack to share", side, parent)
        self._session = session
        self.add_text(
            "One zip with the project and its clips that opens elsewhere with the same results. It stays "
            "on this machine until you send it."
        )
        self.add_head("Deliveries")
        self.deliveries = {d.name: QCheckBox(d.name) for d in session.record.deliveries}
        for box in self.deliveries.values():
            box.setChecked(True)
            self.column.addWidget(box)
        self.add_head("What stays behind")
        self.names = self._choice("Leave names out", NAMES)
        self.faces = self._choice("Blur faces", FACES)
        self.warning = self.add_text("", "problem")
        self.preview = QPushButton("See this frame blurred")
        self.column.addWidget(self.preview)
        self.picture = QLabel()
        self.picture.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self.picture.hide()
        self.column.addWidget(self.picture)
        self._about_picture = self.add_text("")
        self.looking = Working()
        self.column.addWidget(self.looking)
        self.add_head("What comes along")
        self.whole = self._choice(
            "Whole clips", "Else what you trimmed away goes, but for what results lean on."
        )
        self.sound = self._choice("Sound", "Voices in a clip may be private.")
        self.add_text("Clips are coded anew: nothing of place, date or device stays in them.")
        self.pack = QPushButton("Save the zip …")
        self.pack.setProperty("role", "main")
        self.answer = Verdict()
        self.column.addStretch(1)
        self._lay_below(self.working, self.problem, self.answer, self.pack)
        self.preview.clicked.connect(lambda _on: self.show_preview())
        self.pack.clicked.connect(lambda _on: self.ask_where())
        self.working.stop.clicked.connect(lambda: self.answer.say(STOPPED))
        for work in (self.working, self.looking):
            work.ended.connect(self.refresh)
        for box in (*self.deliveries.values(), self.faces):
            box.toggled.connect(lambda _on: self.refresh())
        self.refresh()

    def _choice(self, text: str, more: str) -> QCheckBox:
        box = QCheckBox(text)
        box.setAccessibleDescription(more)
        self.column.addWidget(box)
        self.add_text(more)
        return box

    def _lay_below(self, *parts: QWidget) -> None:
        """Put parts above the last button, where they are seen however far the choices are scrolled."""
        outer = self.layout()
        if isinstance(outer, QVBoxLayout):
            for part in parts:
                outer.insertWidget(outer.count() - 1, part)

    @property
    def choices(self) -> Choices:
        """What is ticked."""
        return Choices(
            blurs_faces=self.faces.isChecked(),
            leaves_names_out=self.names.isChecked(),
            is_whole=self.whole.isChecked(),
            has_sound=self.sound.isChecked(),
            deliveries=tuple(name for name, box in self.deliveries.items() if box.isChecked()),
        )

    def refresh(self) -> None:
        """Offer what can be done now."""
        is_busy = self.working.is_busy or self.looking.is_busy
        self.pack.setEnabled(not is_busy and bool(self.choices.deliveries))
        tell(self.warning, self._unlocated() if self.faces.isChecked() else "")
        self.preview.setVisible(self.faces.isChecked())
        self.preview.setEnabled(not is_busy)
        if not self.faces.isChecked():
            self.picture.hide()
            tell(self._about_picture, "")

    def _unlocated(self) -> str:
        n_missing, n_pictures = unlocated(self._session, self.choices)
        return UNLOCATED.format(n=n_missing, of=n_pictures) if n_missing else ""

    def show_preview(self) -> None:
        """Show the frame on the stage as it would be packed."""
        tell(self.problem, "")
        self.side = self._session.active_side
        try:
            work = preview_work(self._session, self.side)
        except DeliveryLabError as error:
            self.show_problem(error)
            return
        self.looking.do(work, self._on_previewed, self.show_problem, is_measured=False)
        self.refresh()

    def _on_previewed(self, found: Any) -> None:
        shown: Preview = found
        ratio = self.devicePixelRatioF()
        fitted = QPixmap.fromImage(rgb_image(shown.picture)).scaled(
            round(PREVIEW_WIDTH * ratio),
            round(PREVIEW_WIDTH * ratio),
            Qt.AspectRatioMode.KeepAspectRatio,
            Qt.TransformationMode.SmoothTransformation,
        )
        fitted.setDevicePixelRatio(ratio)
        self.picture.setPixmap(fitted)
        self.picture.show()
        tell(self._about_picture, LOCATED if shown.is_located else NOT_LOCATED)

    def ask_where(self) -> None:
        """Ask for the zip's name and write it."""
        folder = self._session.path.parent if self._session.path else Path.home()
        name = "delivery" if self.names.isChecked() else self._session.name
        chosen, _ = QFileDialog.getSaveFileName(
            self, "Pack to share", str(folder / f"{name}.zip"), KINDS
        )
        if chosen:
            self.pack_to(Path(chosen))

    def pack_to(self, path: Path) -> None:
        """Write the zip."""
        if self.working.is_busy:
            return
        path = path if path.suffix.lower() == ".zip" else path.with_name(f"{path.name}.zip")
        tell(self.problem, "")
        self.answer.say("")
        try:
            work = pack_work(self._session, self.choices, path)
        except DeliveryLabError as error:
            self.show_problem(error)
            return
        self.working.do(work, self._on_packed, self.show_problem)
        self.refresh()

    def _on_packed(self, packed: Any) -> None:
        size = f"{packed.path.stat().st_size / 1e6:.1f} MB"
        n_coarse = sum(clip.n_coarse for clip in packed.clips)
        n_frames = sum(clip.n_frames for clip in packed.clips)
        missing = [clip for clip in packed.clips if clip.is_missing]
        told = ["What was done, clip by clip, stands in the zip."]
        if n_coarse:
            told.append(f"{n_coarse} of {n_frames} pictures are blurred all over.")
        told += [f"The clip of {clip.delivery} was not found." for clip in missing]
        is_plain = not n_coarse and not missing
        self.answer.say(
            f"Packed: {packed.path.name}, {size}", " ".join(told), "good" if is_plain else "caution"
        )
        self.refresh()

    def give_up(self) -> None:
        """Stop what is going on; for closing."""
        self.looking.cancel()
        super().give_up()
