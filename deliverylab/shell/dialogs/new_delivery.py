"""A delivery is taken in: the clip is looked over, and only what it does not tell is asked for."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QEvent, QFileInfo, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QFrame,
    QLabel,
    QLineEdit,
    QProgressBar,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from deliverylab.core.errors import DeliveryLabError
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.shell.jobs import Job
from deliverylab.shell.messages import error_text
from deliverylab.shell.outputs import LookedOver, camera_without_clip, clip_work
from deliverylab.shell.session import Session, Side
from deliverylab.shell.theme import theme
from deliverylab.shell.widgets.clip_findings import ClipFindings
from deliverylab.shell.widgets.delivery_form import DeliveryForm

DEFAULT_VIEW = "open-side"
BEST_TOGETHER = ("open-side", "rear", "front", "closed-side")
"""Views of one delivery, by what they tell together: a side and one end."""


class NewDeliveryDialog(QDialog):
    """Ask about a new delivery, add it to the project, or change the facts of one.

    Parameters
    ----------
    session : Session
        Where it is added.
    clip : Path or None
        Its clip; None for positions that come from elsewhere.
    side : str or None
        The stage that it shall stand on.
    existing : str or None
        Name of the delivery whose facts are to be changed, instead of a new one.
    of_delivery : str or None
        Name of the delivery that another camera saw, to begin with.

    Attributes
    ----------
    form : DeliveryForm
        The questions.
    belongs : QComboBox
        A new delivery, or another camera of one.
    """

    def __init__(
        self,
        session: Session,
        clip: Path | None = None,
        *,
        side: Side | None = None,
        existing: str | None = None,
        of_delivery: str | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._session, self._clip, self._side = session, clip, side
        self._existing = existing
        self._camera: Camera | None = None
        self._job: Job | None = None
        self._is_named_by_hand = existing is not None
        self._is_camera_named_by_hand = existing is not None
        self.belongs = QComboBox()
        self.belongs.setAccessibleName("What the clip is")
        self.belongs.addItem("A new delivery", None)
        for name in session.delivery_names():
            self.belongs.addItem(f"Another camera of {name}", name)
        self.belongs.setCurrentIndex(max(0, self.belongs.findData(of_delivery)))
        self.belongs.currentIndexChanged.connect(self._on_belonging_chosen)
        self.form = DeliveryForm(session.athletes(), session.unit_system)
        self.form.edited.connect(self._on_edited)
        self.form.delivery_name.textEdited.connect(self._on_named)
        self.form.camera_name.textEdited.connect(self._on_camera_named)
        self._facts = QLabel()
        self._facts.setWordWrap(True)
        self.found = ClipFindings()
        self._progress = QProgressBar()
        self._progress.setRange(0, 100)
        self._progress.setTextVisible(False)
        self._problem = QLabel()
        self._problem.setProperty("role", "problem")
        self._problem.setWordWrap(True)
        self.width_px, self.height_px, self.n_frames = (
            _spin(value, high) for value, high in ((1920, 16384), (1080, 16384), (480, 1_000_000))
        )
        self.stored_rate = QLineEdit("240")
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        self._add = buttons.addButton(
            "Change" if existing else "Add delivery", QDialogButtonBox.ButtonRole.AcceptRole
        )
        self._add.setDefault(True)
        # while the other is disabled, Enter would else cancel and lose what was typed
        buttons.button(QDialogButtonBox.StandardButton.Cancel).setAutoDefault(False)
        self._add.setProperty("role", "main")
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        self._lay_out(buttons)
        if existing is not None:
            self._show_existing(existing)
        elif clip is not None:
            self._look_over(clip)
        self._on_belonging_chosen()
        (self.form.athlete_name if of_delivery is None else self.form.view).setFocus()

    @property
    def of_delivery(self) -> str | None:
        """The delivery that this is another camera of; None for a new one."""
        return None if self._existing is not None else self.belongs.currentData()

    def _on_belonging_chosen(self, _index: int = 0) -> None:
        is_camera = self.of_delivery is not None
        self.form.ask_about(
            delivery=not is_camera,
            camera_name=is_camera or self._existing is not None,
            weights=self._existing is not None,
        )
        if self._existing is None:
            self._add.setText("Add camera" if is_camera else "Add delivery")
        if is_camera and not self._is_camera_named_by_hand:
            self._choose_free_view()
        self._on_edited()

    def _choose_free_view(self) -> None:
        """Begin with the view that adds most to those the delivery was filmed from."""
        seen = {camera.view for camera in self._cameras()}
        view = self.form.view
        free = [key for key in BEST_TOGETHER if key not in seen]
        if view.currentData() in seen and free:
            view.setCurrentIndex(view.findData(free[0]))

    def _cameras(self) -> tuple[Camera, ...]:
        return () if self.of_delivery is None else self._session.cameras_of(self.of_delivery)

    def _lay_out(self, buttons: QDialogButtonBox) -> None:
        titles = {True: "Who, when, how filmed", False: "New delivery"}
        self.setWindowTitle(titles[self._existing is not None])
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 18, 20, 16)
        column.setSpacing(12)
        title = QLabel(self._clip.name if self._clip else self._existing or "Without a clip")
        title.setProperty("role", "heading")
        title.setTextFormat(Qt.TextFormat.PlainText)
        column.addWidget(title)
        if self._clip is not None:
            card = QFrame()
            card.setObjectName("card")
            inside = QVBoxLayout(card)
            inside.setContentsMargins(12, 9, 12, 10)
            inside.setSpacing(4)
            for one in (self._facts, self._progress, self.found):
                inside.addWidget(one)
            column.addWidget(card)
        elif self._existing is None:
            self._facts.setText(
                "Positions come from elsewhere, as a table. Which picture do they refer to?"
            )
            self._facts.setProperty("role", "quiet")
            column.addWidget(self._facts)
            column.addLayout(self._picture_form())
        if self._existing is None:
            self.belongs.setVisible(self.belongs.count() > 1)
            column.addWidget(self.belongs)
        column.addWidget(self.form)
        column.addWidget(self._problem)
        column.addStretch(1)
        column.addWidget(buttons)
        # wide enough for the sentence that says where to stand, whatever the type size
        self.setMinimumWidth(round(44 * theme().point_size()))

    def _picture_form(self) -> QFormLayout:
        form = QFormLayout()
        form.setHorizontalSpacing(16)
        form.setLabelAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        for text, field in (
            ("Width, px", self.width_px),
            ("Height, px", self.height_px),
            ("Frames", self.n_frames),
            ("Frames a second", self.stored_rate),
        ):
            form.addRow(text, field)
        return form

    def _show_existing(self, name: str) -> None:
        delivery = next(one for one in self._session.deliveries() if one.name == name)
        form = self.form
        form.show_athlete(delivery.athlete)
        form.delivery_name.setText(delivery.name)
        form.date.setText(delivery.date)
        form.speed.set_value(delivery.ball_speed_m_s)
        form.ball.setCurrentIndex(form.ball.findData(delivery.ball))
        camera = self._shown_camera(delivery)
        form.view.setCurrentIndex(form.view.findData(camera.view))
        rate_hz = camera.timing.capture_rate_hz
        form.rate.setCurrentText("as stored" if rate_hz is None else f"{rate_hz:g}")
        form.camera_name.setText(camera.name)
        self._camera = camera

    def _shown_camera(self, delivery: Delivery) -> Camera:
        state = self._session.state(self._side or self._session.active_side)
        is_shown = state.delivery == delivery.name
        return delivery.camera(state.camera if is_shown else None)

    def _look_over(self, clip: Path) -> None:
        self._facts.setText("Looking the clip over …")
        modified = QFileInfo(str(clip)).lastModified()
        self.form.date.setText(modified.toString("yyyy-MM-dd"))
        self._job = Job(clip_work(clip, self._session.path, DEFAULT_VIEW), self)
        self._job.progressed.connect(lambda share: self._progress.setValue(round(100 * share)))
        self._job.finished.connect(self._on_looked_over)
        self._job.failed.connect(self._on_failed)
        self._job.start()

    def _on_looked_over(self, looked: LookedOver) -> None:
        self._camera = looked.camera
        timing = self._camera.timing
        self._facts.setText(
            f"{self._camera.width_px} × {self._camera.height_px} px  ·  "
            f"{timing.n_frames} frames  ·  stored at {timing.stored_rate_hz:.4g} a second  ·  "
            f"{timing.times_s[-1] + timing.interval_s:.2f} s"
        )
        if timing.capture_rate_hz:
            self.form.rate.setCurrentText(f"{timing.capture_rate_hz:g}")
        self._progress.hide()
        self.found.show_found(looked.remarks, looked.findings)
        self._on_edited()

    def _on_failed(self, error: BaseException) -> None:
        self._progress.hide()
        if not isinstance(error, DeliveryLabError):
            raise error
        self._facts.setText(error_text(error))
        self._facts.setProperty("role", "problem")
        self._facts.style().polish(self._facts)

    def _on_named(self) -> None:
        self._is_named_by_hand = bool(self.form.delivery_name.text())

    def _on_camera_named(self) -> None:
        self._is_camera_named_by_hand = bool(self.form.camera_name.text())

    def _on_edited(self) -> None:
        form = self.form
        athlete = form.athlete_name.currentText().strip()
        if not self._is_named_by_hand and athlete:
            form.delivery_name.setText(self._free_name(athlete))
        if not self._is_camera_named_by_hand:
            form.camera_name.setText(self._free_camera_name(form.view.currentText()))
        is_ready = self._camera is not None or self._clip is None
        is_named = bool(form.camera_name.text().strip()) if self.of_delivery else bool(athlete)
        self._add.setEnabled(is_named and is_ready and not form.is_wrong)
        self._problem.setVisible(bool(self._problem.text()))

    def _free_name(self, athlete: str) -> str:
        taken = self._session.delivery_names()
        return next(f"{athlete} {n}" for n in range(1, 10_000) if f"{athlete} {n}" not in taken)

    def _free_camera_name(self, view: str) -> str:
        taken = {camera.name for camera in self._cameras()}
        names = (view, *(f"{view} {n}" for n in range(2, 10_000)))
        return next(name for name in names if name not in taken)

    def made_camera(self) -> Camera:
        """Return the camera as it is filled in.

        Raises
        ------
        DeliveryLabError
            A value that cannot be true.
        ValueError
            A rate that is no number.
        """
        return self._session.with_camera_facts(
            self._camera or self._made_camera(),
            view=self.form.view.currentData(),
            capture_rate_hz=self.form.capture_rate_hz,
        )

    def made(self) -> Delivery:
        """Return the delivery as it is filled in.

        Raises
        ------
        DeliveryLabError
            A value that cannot be true.
        ValueError
            A rate that is no number.
        """
        form = self.form
        old = next((one for one in self._session.deliveries() if one.name == self._existing), None)
        athlete = form.athlete(old.athlete if old else None)
        camera = self.made_camera()
        if old is None:
            camera = self._session.with_camera_name(camera, form.camera_name.text().strip())
        name = form.delivery_name.text().strip() or athlete.name
        base = old or Delivery(name=name, athlete=athlete, cameras=(camera,))
        cameras = tuple(camera if one.name == camera.name else one for one in base.cameras)
        return self._session.with_delivery_facts(
            base,
            name=name,
            athlete=athlete,
            cameras=cameras,
            date=form.date.text().strip(),
            ball_speed_m_s=form.speed.value,
            ball=form.ball.currentData(),
        )

    def _made_camera(self) -> Camera:
        return camera_without_clip(
            width_px=self.width_px.value(),
            height_px=self.height_px.value(),
            n_frames=self.n_frames.value(),
            rate=self.stored_rate.text().strip(),
            view=self.form.view.currentData(),
        )

    def accept(self) -> None:
        """Add the delivery, or say what is wrong and stay."""
        try:
            self._carry_out()
        except DeliveryLabError as error:
            self._problem.setText(error_text(error))
        except ValueError:
            self._problem.setText("The capture rate is no number. Give frames a second, like 240.")
        else:
            super().accept()
            return
        self._problem.show()

    def _carry_out(self) -> None:
        session = self._session
        camera_name = self.form.camera_name.text().strip()
        if self.of_delivery is not None:
            camera = session.with_camera_name(self.made_camera(), camera_name)
            session.add_camera(self.of_delivery, camera)
        elif self._existing is not None and self._camera is not None:
            names = (self._camera.name, camera_name or self._camera.name)
            session.set_delivery(self._existing, self.made(), camera_names=names)
        else:
            session.add_delivery(self.made(), side=self._side)

    def event(self, event: QEvent) -> bool:
        """Grow with what is found out about the clip, so that no row is squeezed."""
        is_done = super().event(event)
        if event.type() == QEvent.Type.LayoutRequest:
            self._make_room()
        return is_done

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep room for sentences that take more lines in another width."""
        super().resizeEvent(event)
        self._make_room()

    def _make_room(self) -> None:
        """Be as high as the content needs at this width, which Qt does not see to by itself."""
        layout = self.layout()
        if layout is not None and layout.hasHeightForWidth():
            room = self.screen().availableGeometry().height()
            self.setMinimumHeight(min(layout.totalHeightForWidth(self.width()), room))

    def done(self, result: int) -> None:
        """End the dialog, and with it the look at the clip."""
        if self._job is not None:
            self._job.cancel()
        super().done(result)


def _spin(value: int, high: int) -> QSpinBox:
    spin = QSpinBox()
    spin.setRange(1, high)
    spin.setValue(value)
    return spin
