"""How the two deliveries are shown in the middle of the window, and playing them."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QBoxLayout,
    QComboBox,
    QWidget,
)

from deliverylab.shell.actions_stage import ARRANGEMENT
from deliverylab.shell.drawing.claimed_keys import is_claimed
from deliverylab.shell.drawing.hand_watch import HandWatch
from deliverylab.shell.panes.arrangement import ArrangementPane
from deliverylab.shell.panes.phase_curves import PhaseCurvesPane
from deliverylab.shell.panes.player import PlayerPane
from deliverylab.shell.project_files import ProjectFiles
from deliverylab.shell.session import Session
from deliverylab.shell.settings import Settings
from deliverylab.shell.window.intents import IntentWindow

FAR_MORE = 2000
"""Height that is asked for where as much is wanted as there is, px."""
PRESSED_BY_SPACE = (QAbstractButton, QAbstractItemView, QComboBox)
"""Parts in which Space already means something: there it does not play."""


class ArrangingWindow(IntentWindow):
    """Puts the stages beside or over each other, or curves in their place.

    It is made as `IntentWindow` is.
    """

    def __init__(
        self, session: Session, settings: Settings, files: ProjectFiles | None = None
    ) -> None:
        super().__init__(session, settings, files)
        actions = [self.actions_by_key[key] for key in ARRANGEMENT]
        self.arrangement = ArrangementPane(session, actions)
        self.curves = PhaseCurvesPane(session)
        self.player = PlayerPane(session, self.actions_by_key["play"])
        self.player.failed.connect(self.show_error)
        self.scrub.add_to_head(self.player)
        self.curves.head.insertWidget(0, ArrangementPane(session, actions))
        self._stages_area = cast("QWidget", self._work.widget(0))
        cast("QBoxLayout", self._stages_area.layout()).insertWidget(0, self.arrangement)
        self._work.insertWidget(1, self.curves)
        self.curves.hide()
        self.scrub.curve_chooser.currentIndexChanged.connect(self._show_curve)
        self._sizes_before: list[int] = []
        self.actions_by_key["play"].setAutoRepeat(False)
        session.set_anchor(settings.get("anchor"))
        session.set_measures(settings.get("has_measures"))
        session.display_changed.connect(self._on_arranged)
        session.selection_changed.connect(self._on_arranged)
        for stage in self.stages.values():
            watch = HandWatch(stage.canvas)
            watch.tapped.connect(self.actions_by_key["play"].trigger)
            watch.pressed.connect(session.pause)
        self._on_arranged()

    def lay_over_at_foot(self, is_wanted: bool) -> None:
        """Lay bodies over each other where they stand, or at the pelvis; remembered."""
        self.session.set_anchor("foot" if is_wanted else "pelvis")

    def _on_arranged(self, *_ignored: object) -> None:
        session = self.session
        arrangement = session.arrangement
        has_model = session.delivery("model") is not None
        self.stages["model"].setVisible(has_model and arrangement == "beside")
        if arrangement == "over" and session.active_side == "model":
            session.activate("athlete")  # keys go to what is seen
        # one delivery alone keeps the room; its keys are in the menu
        self.arrangement.setVisible(has_model)
        is_curves = arrangement == "curves"
        if is_curves == self.curves.isHidden():
            self._exchange(is_curves)
        actions = self.actions_by_key
        actions["at_foot"].setVisible(arrangement == "over")
        actions["over"].setChecked(arrangement == "over")
        actions["curves"].setChecked(is_curves)
        actions["bodies_only"].setChecked(not session.has_pictures)
        actions["at_foot"].setChecked(session.anchor == "foot")
        actions["measures"].setChecked(session.has_measures)
        self.settings.put("anchor", session.anchor)
        self.settings.put("has_measures", session.has_measures)

    def _exchange(self, is_curves: bool) -> None:
        """Put the curves in the place of the stages, or back, with what lies below them."""
        if is_curves:
            self._sizes_before = self._work.sizes()
            self._show_curve()
        self._stages_area.setVisible(not is_curves)
        self.curves.setVisible(is_curves)
        # the same curves on the clip's clock would only take their room
        self.scrub.bar.setVisible(not is_curves)
        if is_curves:
            sizes = list(self._sizes_before)
            sizes[self._work.indexOf(self.curves)] = FAR_MORE
            sizes[self._work.indexOf(self.scrub)] = 1
            self._work.setSizes(sizes)
            # the keyboard would go to a button, where Space does not play
            self.curves.bar.setFocus()
        elif self._sizes_before:
            self._work.setSizes(self._sizes_before)
            self._go_to_stage()

    def _show_curve(self, *_ignored: object) -> None:
        """Draw the reading that is chosen below."""
        self.curves.choose(self.scrub.curve_chooser.currentData())

    def event(self, event: QEvent) -> bool:
        """Leave Space to a button or a list that has the keyboard."""
        return is_claimed(event, _meaning) or super().event(event)


def _meaning(event: QKeyEvent) -> str:
    """Return what Space does in the part that has the keyboard, or empty."""
    is_theirs = isinstance(QApplication.focusWidget(), PRESSED_BY_SPACE)
    return "press" if event.key() == Qt.Key.Key_Space and is_theirs else ""
