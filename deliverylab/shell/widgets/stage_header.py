"""The line above a stage: whose delivery it is, how it was filmed, where in the clip it stands."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QActionGroup, QResizeEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QMenu,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from deliverylab.shell.drawing.elided_label import ElidedLabel
from deliverylab.shell.theme import icon, on_theme_changed, theme

OVERLAY = "Model over it"
FACTS_SHARE = 0.45
"""Part of the second line that the facts keep before the place is said more shortly."""
NO_PARTNER = "No model delivery"
DEEDS = (
    ("facts", "Who, when, how filmed …"),
    ("clip_time", "Time of the clip, rolling shutter …"),
    ("add_camera", "Add another camera …"),
    ("remove_camera", "Remove this camera"),
    ("remove_delivery", "Remove from the project"),
)
"""Actions on the shown delivery that its own menu offers: key and what it says."""


class StageHeader(QWidget):
    """Name, facts and place of one stage, with the choice of delivery and camera.

    Signals
    -------
    delivery_chosen(str)
        A name; empty for none.
    camera_chosen(str)
        A camera's name.
    action_wanted(str)
        Key of an action of the window that is wanted for this stage's delivery.
    overlay_toggled(bool)
        Whether the model delivery is wanted over this one.
    """

    delivery_chosen = Signal(str)
    camera_chosen = Signal(str)
    action_wanted = Signal(str)
    overlay_toggled = Signal(bool)

    def __init__(self, style: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self._listed: object = None
        self._places: tuple[str, ...] = ("",)
        self._stripe = QWidget()
        self._stripe.setFixedWidth(4)
        self._name, self._camera = self._button("Delivery on this stage"), self._button("Camera")
        self._name.setProperty("role", "heading")
        self._facts, self._place = ElidedLabel(), QLabel()
        self._place.setProperty("role", "small")
        self._place.setTextFormat(Qt.TextFormat.PlainText)
        self._overlay = QToolButton()
        self._overlay.setText(OVERLAY)
        self._overlay.setAccessibleName(OVERLAY)
        self._overlay.setToolTip("Lay the model delivery over this one, at the same phase")
        self._overlay.setCheckable(True)
        self._overlay.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._overlay.toggled.connect(self.overlay_toggled)
        self._overlay.hide()
        top = QHBoxLayout()
        top.setSpacing(4)
        top.addWidget(self._name)
        top.addWidget(self._camera)
        top.addStretch(1)
        top.addWidget(self._overlay)
        column = QVBoxLayout()
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(top)
        facts = QHBoxLayout()
        # below the name's first letter, which stands inside its button's frame
        facts.setContentsMargins(10, 0, 0, 0)
        facts.setSpacing(12)
        facts.addWidget(self._facts, 1)
        facts.addWidget(self._place)
        column.addLayout(facts)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 2, 10, 6)
        row.setSpacing(8)
        row.addWidget(self._stripe)
        row.addLayout(column, 1)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        on_theme_changed(self, self._on_theme_changed)

    def _button(self, name: str) -> QToolButton:
        button = QToolButton()
        button.setAccessibleName(name)
        button.setToolTip(name)
        button.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
        button.setMenu(QMenu(button))
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        return button

    @property
    def facts(self) -> str:
        """What is said about the delivery and its camera."""
        return self._facts.full_text

    @property
    def place(self) -> str:
        """What is said about the shown frame."""
        return self._places[0]

    def set_choice(
        self,
        deliveries: Sequence[str],
        delivery: str,
        cameras: Sequence[str],
        camera: str,
        *,
        may_be_none: bool,
    ) -> None:
        """Offer deliveries and cameras, with what is shown ticked."""
        listed = (tuple(deliveries), delivery, tuple(cameras), camera, may_be_none)
        if listed == self._listed:
            return
        self._listed = listed
        offered = [*deliveries, ""] if may_be_none and delivery else list(deliveries)
        self._fill(self._name, offered, delivery, self.delivery_chosen)
        if delivery:
            self._offer_deeds(len(cameras))
        self._fill(self._camera, cameras, camera, self.camera_chosen)
        self._name.setText(f"{delivery or 'Choose a delivery'}  ▾")
        self._name.setEnabled(bool(offered))
        self._camera.setText(f"{camera}  ▾")
        self._camera.setVisible(len(cameras) > 1)

    def _fill(self, button: QToolButton, names: Sequence[str], shown: str, signal: object) -> None:
        menu = button.menu()
        menu.clear()
        group = QActionGroup(menu)
        for name in names:
            if not name:
                menu.addSeparator()
            action = menu.addAction(name or NO_PARTNER)
            action.setCheckable(bool(name))
            action.setChecked(name == shown)
            action.triggered.connect(partial(self._on_chosen, signal, name))
            group.addAction(action)

    def _offer_deeds(self, n_cameras: int) -> None:
        menu = self._name.menu()
        menu.addSeparator()
        for key, text in DEEDS:
            if key != "remove_camera" or n_cameras > 1:
                menu.addAction(text).triggered.connect(partial(self._on_deed_chosen, key))

    def _on_deed_chosen(self, key: str, _is_checked: bool = False) -> None:
        self.action_wanted.emit(key)

    def _on_chosen(self, signal: object, name: str, _is_checked: bool = False) -> None:
        signal.emit(name)  # type: ignore[attr-defined]

    def offer_overlay(self, is_offered: bool) -> None:
        """Offer to lay the model delivery over this one, or not."""
        if self._overlay.isHidden() == is_offered:
            self._overlay.setVisible(is_offered)
            self._share_out()

    @property
    def wants_overlay(self) -> bool:
        """Whether the model delivery is wanted over this one."""
        return self._overlay.isChecked() and not self._overlay.isHidden()

    def set_facts(self, text: str) -> None:
        """Say who, from where, how far."""
        self._facts.setText(text)

    def set_place(self, *texts: str) -> None:
        """Say which frame and when; where there is little room, one of the shorter forms."""
        self._places = texts or ("",)
        self._share_out()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the two lines out anew."""
        super().resizeEvent(event)
        self._share_out()

    def _share_out(self) -> None:
        metrics, room = self._place.fontMetrics(), (1.0 - FACTS_SHARE) * self.width()
        fitting = (text for text in self._places if metrics.horizontalAdvance(text) <= room)
        self._place.setText(next(fitting, self._places[-1]))
        words = self._overlay.fontMetrics().horizontalAdvance(OVERLAY)
        buttons = (self._name, self._camera)
        needed = sum(one.sizeHint().width() for one in buttons if not one.isHidden())
        is_tight = needed + words + 60 > self.width()
        kind = Qt.ToolButtonStyle
        style = kind.ToolButtonIconOnly if is_tight else kind.ToolButtonTextOnly
        if self._overlay.toolButtonStyle() != style:
            self._overlay.setToolButtonStyle(style)

    def set_active(self, is_active: bool) -> None:
        """Show whether keys go to this stage."""
        if is_active != bool(self._stripe.property("isActive")):
            self._stripe.setProperty("isActive", is_active)
            self._on_theme_changed()

    def _on_theme_changed(self) -> None:
        self._overlay.setIcon(icon("overlay"))
        name = "model" if self._style == "model" else "throwing"
        is_active = bool(self._stripe.property("isActive"))
        colour = theme().colour(name).name() if is_active else "transparent"
        self._stripe.setStyleSheet(f"background: {colour}; border-radius: 2px;")
        font = self._name.font()
        font.setPointSizeF(theme().point_size(1.1))
        font.setBold(True)
        self._name.setFont(font)
