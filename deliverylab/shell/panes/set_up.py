"""How well would my set-up measure?  Tried before anybody films: the picture at once, figures soon."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent
from PySide6.QtWidgets import (
    QFileDialog,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from deliverylab.core.errors import DeliveryLabError
from deliverylab.core.vocabulary.views import BY_KEY as VIEWS
from deliverylab.shell.drawing.set_up_field import FieldView
from deliverylab.shell.drawing.set_up_picture import PictureView
from deliverylab.shell.jobs import Job
from deliverylab.shell.messages import error_text
from deliverylab.shell.session import Session
from deliverylab.shell.set_up_plan import (
    N_DELIVERIES,
    N_FIRST_LOOK,
    Expectation,
    Plan,
    PlanScene,
    plan_of,
    plan_scene,
    save_expectations,
    standing_at,
    trust_work,
)
from deliverylab.shell.theme import icon, on_theme_changed
from deliverylab.shell.widgets.plan_form import PlanForm
from deliverylab.shell.widgets.trust_table import TrustTable

SETTLE_MS = 350
CUT_OFF = "They count what is outside the picture as seen."
CAUTION = "Simulated with our own figure: a real body, clothing and a real phone do more."


class SetUpPane(QFrame):
    """A set-up, what its camera sees, and what would come of it.

    Parameters
    ----------
    session : Session
        Whose active delivery gives the first set-up.
    stages : tuple of int
        Numbers of deliveries simulated one after the other: a first look, then the figures.

    Signals
    -------
    closed()
        Wish to go back.
    saved(str)
        Where the table was written.
    """

    closed = Signal()
    saved = Signal(str)

    fills_window = True

    def __init__(
        self,
        session: Session,
        parent: QWidget | None = None,
        *,
        stages: tuple[int, ...] = (N_FIRST_LOOK, N_DELIVERIES),
    ) -> None:
        super().__init__(parent)
        self.setObjectName("pane")
        self._session, self._stages = session, stages
        self._scene: PlanScene | None = None
        self._rows: tuple[Expectation, ...] = ()
        self._job: Job | None = None
        self.form, self.table = PlanForm(), TrustTable()
        self.field, self.picture = FieldView(), PictureView()
        self._back, self._export = QPushButton("Back"), QPushButton("Export as CSV …")
        self._said = _label("small")
        self._progress = QProgressBar()
        self._progress.setRange(0, 100)
        self._progress.setTextVisible(False)
        self._standing = _label("small")
        self._settle = QTimer(self)
        self._settle.setSingleShot(True)
        self._settle.setInterval(SETTLE_MS)
        self._settle.timeout.connect(self._simulate)
        self._lay_out()
        self._back.clicked.connect(self.closed)
        self._export.clicked.connect(self._ask_where)
        self.form.edited.connect(self._on_edited)
        self.field.camera_moved.connect(self._on_camera_moved)
        session.display_changed.connect(self._on_display_changed)
        on_theme_changed(self, self._on_theme_changed)

    def _lay_out(self) -> None:
        title = _label("heading")
        title.setText("How well would my set-up measure?")
        head = QHBoxLayout()
        head.setSpacing(10)
        head.addWidget(self._back)
        head.addWidget(title, 1)
        head.addWidget(self._export)
        views = QGridLayout()
        views.setHorizontalSpacing(12)
        views.setVerticalSpacing(4)
        for column, (name, part, stretch) in enumerate(
            (
                (self._standing, self.form, 5),
                (_label("small", "The field from above: drag the camera"), self.field, 6),
                (_label("small", "What the camera sees"), self.picture, 7),
            )
        ):
            views.addWidget(name, 0, column)
            views.addWidget(part, 1, column)
            views.setColumnStretch(column, stretch)
        views.setRowStretch(1, 1)
        below = QHBoxLayout()
        below.setSpacing(12)
        below.addWidget(self._said, 1)
        below.addWidget(self._progress)
        self._progress.setFixedWidth(180)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(14, 10, 14, 8)
        whole.setSpacing(10)
        whole.addLayout(head)
        whole.addLayout(views, 2)
        whole.addLayout(below)
        whole.addWidget(self.table, 3)

    # -------------------------------------------------------------------------------- the plan

    @property
    def plan(self) -> Plan:
        """The set-up that is tried."""
        return self.form.plan

    @property
    def expectations(self) -> tuple[Expectation, ...]:
        """What is shown of the latest set-up that was simulated."""
        return self._rows

    def begin(self) -> None:
        """Start from how the active delivery was filmed, or from where it was left."""
        self.form.show_plan(plan_of(self._session, self.plan), self._session.unit_system)
        self._on_edited()

    def _on_edited(self) -> None:
        """Draw the set-up at once; simulate it when it stays for a moment."""
        self._stop()
        self.table.set_stale(True)
        if self._draw():
            self._settle.start()

    def _draw(self) -> bool:
        """Draw the set-up; return whether there is such a one."""
        try:
            scene = plan_scene(self.plan)
        except DeliveryLabError as error:
            self._say(error_text(error))
            return False
        self._scene = scene
        plan, system = self.plan, self._session.unit_system
        self.field.show_scene(scene, plan.hand, plan.yaw_deg, system)
        self.picture.show_scene(scene, plan.hand)
        standing = VIEWS[plan.view].standing
        self._standing.setText(f"{standing[:1].upper()}{standing[1:]}")
        return True

    def _on_display_changed(self) -> None:
        """Write everything in the reader's units, which may be others now."""
        if self.isVisible():
            system = self._session.unit_system
            self.form.show_plan(self.plan, system)
            self.table.show_expectations(self._rows, system)
            self._draw()

    def _on_camera_moved(self, x_m: float, y_m: float) -> None:
        if self._scene is not None:
            distance_m, yaw_deg = standing_at(self._scene, x_m, y_m)
            moved = replace(self.plan, distance_m=distance_m, yaw_deg=yaw_deg)
            self.form.show_plan(moved, self._session.unit_system)
            self._on_edited()

    # -------------------------------------------------------------------------- the simulation

    def _simulate(self) -> None:
        if self.isVisible():
            self._run(self._stages)

    def _run(self, stages: tuple[int, ...]) -> None:
        job = Job(trust_work(self.plan, stages[0]), self)
        self._progress.setValue(0)
        self._progress.show()
        if len(stages) == len(self._stages):
            self._say("Simulating …")
        job.progressed.connect(lambda share: self._progress.setValue(round(100 * share)))
        job.finished.connect(lambda rows: self._on_simulated(rows, stages))
        job.failed.connect(self._on_failed)
        self._job = job
        job.start()

    def _on_simulated(self, rows: tuple[Expectation, ...], stages: tuple[int, ...]) -> None:
        self._job = None
        self._rows = rows
        self.table.show_expectations(rows, self._session.unit_system)
        self.table.set_stale(False)
        self._export.setEnabled(bool(rows))
        if stages[1:]:
            self._say(f"A first look, from {stages[0]} simulated deliveries; more are under way.")
            self._run(stages[1:])
        else:
            is_cut = self._scene is not None and bool(self._scene.cut_off)
            self._say(" ".join((_summary(rows), *([CUT_OFF] if is_cut else []), CAUTION)))
            self._progress.hide()

    def _on_failed(self, error: BaseException) -> None:
        self._stop()
        if not isinstance(error, DeliveryLabError):
            raise error
        self._say(error_text(error))

    def _stop(self) -> None:
        self._settle.stop()
        job, self._job = self._job, None
        if job is not None:
            job.cancel()
        self._progress.hide()

    def hideEvent(self, event: QHideEvent) -> None:
        """Work for nobody is not done."""
        super().hideEvent(event)
        self._stop()

    # ------------------------------------------------------------------------------- the table

    def _ask_where(self) -> None:
        start = Path.home() if self._session.path is None else self._session.path.parent
        name = f"set-up {self.plan.view} {self.plan.distance_m:g} m.csv"
        chosen, _ = QFileDialog.getSaveFileName(
            self, "Save what is expected", str(start / name), "Table (*.csv)"
        )
        if chosen:
            path = Path(chosen)
            self.save(path if path.suffix else path.with_suffix(".csv"))

    def save(self, path: Path) -> None:
        """Write the table, or say why it cannot be."""
        try:
            save_expectations(self._rows, path)
        except DeliveryLabError as error:
            self._say(error_text(error))
            return
        self.saved.emit(str(path))

    def _say(self, text: str) -> None:
        self._said.setText(text)

    def _on_theme_changed(self) -> None:
        self._export.setIcon(icon("export"))
        self._export.setEnabled(bool(self._rows))


def _summary(rows: Sequence[Expectation]) -> str:
    n_shown = sum(row.is_shown for row in rows)
    n = rows[0].n if rows else 0
    return f"{n} simulated deliveries: {n_shown} of {len(rows)} readings would be shown."


def _label(role: str, text: str = "") -> QLabel:
    label = QLabel(text)
    label.setProperty("role", role)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    return label
