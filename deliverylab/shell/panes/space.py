"""The delivery in space: a figure that turns and follows the frames, or what to do to have one."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QToolButton, QVBoxLayout, QWidget

from deliverylab.shell.drawing.elided_label import ElidedLabel
from deliverylab.shell.drawing.text_label import tell, text_label
from deliverylab.shell.drawing.verdict_card import Verdict
from deliverylab.shell.session import Session
from deliverylab.shell.space_content import Lack, lack_of, limb_words, shown_space
from deliverylab.shell.space_watch import SpaceWatch
from deliverylab.shell.theme import icon, on_theme_changed
from deliverylab.shell.widgets.space_canvas import SpaceCanvas

VIEWS = (
    ("above", "From above (A): no camera filmed it", "from_above"),
    ("side", "From the open side (S)", "from_side"),
    ("behind", "From behind (B)", "from_behind"),
    ("plate", "From the plate (P)", "from_plate"),
)
LIMBS = "Lengths over the throw, and how they spread:"
WORKING = "Putting the points together …"


class SpacePane(QWidget):
    """Show the athlete's delivery in space at the frame on the stage, and the model at its phase.

    Attributes
    ----------
    canvas : SpaceCanvas
        The figure.

    Signals
    -------
    action_wanted(str, str)
        Side, and key of the action that leads to a figure.
    """

    action_wanted = Signal(str, str)

    def __init__(self, session: Session, watch: SpaceWatch, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session, self._watch = session, watch
        self._lack: Lack | None = None
        self.canvas = SpaceCanvas()
        self.canvas.view_changed.connect(self._on_view_changed)
        self._words = ElidedLabel()
        self._words.setProperty("role", "small")
        self._limbs = text_label(role="small")
        self.empty = Verdict()
        self.empty.action_chosen.connect(self._on_action_chosen)
        self._buttons = {view: self._button(tip, name) for view, tip, name in VIEWS}
        for view, button in self._buttons.items():
            button.clicked.connect(partial(self._on_view_chosen, view))
        self._trails = self._button("Trails of the hand, the hips and the shoulders (T)", "trails")
        self._trails.setChecked(True)
        self._trails.toggled.connect(self.refresh)
        self.canvas.trails_toggled.connect(self._trails.toggle)
        self._lay_out()
        watch.updated.connect(self.refresh)
        session.frame_changed.connect(self._on_frame_changed)
        session.selection_changed.connect(self.refresh)
        session.display_changed.connect(self.refresh)
        session.results_updated.connect(self.refresh)
        on_theme_changed(self, self._on_theme_changed)

    def _button(self, tip: str, icon_name: str) -> QToolButton:
        button = QToolButton()
        button.setCheckable(True)
        button.setToolTip(tip)
        button.setAccessibleName(tip.partition(" (")[0])
        button.setIconSize(QSize(20, 20))
        button.setProperty("iconName", icon_name)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        return button

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.setContentsMargins(4, 0, 4, 0)
        head.setSpacing(2)
        for button in self._buttons.values():
            head.addWidget(button)
        head.addStretch(1)
        head.addWidget(self._trails)
        seen = QWidget()
        figure = QVBoxLayout(seen)
        figure.setContentsMargins(0, 0, 0, 0)
        figure.setSpacing(4)
        figure.addLayout(head)
        figure.addWidget(self.canvas, 1)
        figure.addWidget(self._words)
        figure.addWidget(self._limbs)
        bare = QWidget()
        below = QVBoxLayout(bare)
        below.setContentsMargins(4, 6, 6, 0)
        below.addWidget(self.empty)
        below.addStretch(1)
        self._pages = QStackedWidget()
        self._pages.addWidget(seen)
        self._pages.addWidget(bare)
        column = QVBoxLayout(self)
        column.setContentsMargins(6, 4, 6, 2)
        column.addWidget(self._pages)

    @property
    def words(self) -> str:
        """What is said below the figure."""
        return self._words.full_text

    @property
    def limbs(self) -> str:
        """What is said of the limbs."""
        return self._limbs.text()

    def showEvent(self, event: QShowEvent) -> None:
        """Begin to follow."""
        super().showEvent(event)
        self._watch.want(self, is_wanted=True)
        self.refresh()

    def hideEvent(self, event: QHideEvent) -> None:
        """Stop following: what nobody sees is not worked out."""
        super().hideEvent(event)
        self._watch.want(self, is_wanted=False)

    def refresh(self, *_ignored: object) -> None:
        """Show the figure at the stage's frame, or why there is none."""
        if not self.isVisible():
            return
        delivery = self._session.delivery("athlete")
        self._lack = lack_of(delivery)
        if self._lack is not None:
            lack = self._lack
            self.empty.say(lack.reason, lack.remedy, button=lack.button, is_advised=True)
            self._pages.setCurrentIndex(1)
            return
        shown = shown_space(self._session, self._watch.found, has_trails=self._trails.isChecked())
        if shown is None:
            self.empty.say(WORKING)
            self._pages.setCurrentIndex(1)
            return
        self.canvas.show_scene(shown.scene)
        self._words.setText(shown.words)
        if delivery is not None:
            limbs = self._watch.found.limbs
            words = limb_words(limbs, delivery.athlete.hand, self._session.unit_system)
            tell(self._limbs, "\n".join((LIMBS, *words)) if words else "")
        self._pages.setCurrentIndex(0)

    def _on_frame_changed(self, side: str, _frame: int) -> None:
        if side == "athlete":
            self.refresh()

    def _on_view_chosen(self, view: str, _is_checked: bool = False) -> None:
        self.canvas.look_from(view)
        self._on_view_changed(view)

    def _on_view_changed(self, view: str) -> None:
        for key, button in self._buttons.items():
            button.setChecked(key == view)

    def _on_action_chosen(self) -> None:
        if self._lack is not None:
            self.action_wanted.emit("athlete", self._lack.action)

    def _on_theme_changed(self) -> None:
        for button in (*self._buttons.values(), self._trails):
            button.setIcon(icon(str(button.property("iconName"))))
