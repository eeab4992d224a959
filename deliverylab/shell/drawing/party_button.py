"""A button that says who stands on a side of the comparison, with a menu of who else may."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import NamedTuple

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QMenu, QPushButton, QSizePolicy

MARK = "  ▾"
PADDING = 26


class Offer(NamedTuple):
    """One line of the menu: what is sent, what is read, and under which it stands together."""

    text: str
    label: str
    group: str


class PartyButton(QPushButton):
    """Offers parties; the deliveries of one athlete can also be picked one by one.

    Signals
    -------
    chosen(str)
        Text of the party that was chosen.
    """

    chosen = Signal(str)

    def __init__(self, about: str) -> None:
        super().__init__()
        self._about, self._full = about, ""
        self._picked: tuple[str, ...] = ()
        self.offers: tuple[Offer, ...] = ()
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self._menu = QMenu(self)
        self._menu.aboutToShow.connect(self._fill)
        self._fill_from: tuple[tuple[str, ...], Collection[str], str] = ((), (), "")
        self.clicked.connect(self.open_menu)

    def show_party(
        self, text: str, offers: Sequence[Offer], *, pickable: Sequence[str] = (),
        picked: Collection[str] = (), fixed: str = "",
    ) -> None:  # fmt: skip
        """Say who stands there, and who else may.

        Parameters
        ----------
        text : str
            Who, in a few words.
        offers : sequence of Offer
            The menu, in its order; groups are parted by lines.
        pickable : sequence of str
            Deliveries that can be taken together one by one; none with fewer than two.
        picked : collection of str
            Those of them that are.
        fixed : str
            The one that is on the stage: it stays among them.
        """
        self._full, self.offers = text, tuple(offers)
        self._fill_from = (tuple(pickable), picked, fixed)
        self.setAccessibleName(f"{self._about}: {text}")
        self._elide()

    def open_menu(self) -> None:
        """Open the menu below the button."""
        self._menu.popup(self.mapToGlobal(self.rect().bottomLeft()))

    def menu_shown(self) -> QMenu:
        """Return the menu as it would be shown now."""
        self._fill()
        return self._menu

    def sizeHint(self) -> QSize:
        """Return the size that the text would need."""
        hint = super().sizeHint()
        wide = self.fontMetrics().horizontalAdvance(self._full + MARK) + PADDING
        return QSize(wide, hint.height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Shorten anew."""
        super().resizeEvent(event)
        self._elide()

    def _elide(self) -> None:
        metrics = self.fontMetrics()
        room = self.width() - PADDING - metrics.horizontalAdvance(MARK)
        shown = metrics.elidedText(self._full, Qt.TextElideMode.ElideMiddle, max(room, 20))
        # a sign of Qt's would make the next letter a key
        self.setText(f"{shown}{MARK}".replace("&", "&&"))
        self.setToolTip(f"{self._about}: {self._full}")

    def _fill(self) -> None:
        self._menu.clear()
        group = None
        for offer in self.offers:
            if group is not None and offer.group != group:
                self._menu.addSeparator()
            group = offer.group
            act = self._menu.addAction(offer.label.replace("&", "&&"))
            act.setCheckable(True)
            act.setChecked(offer.text == self._full)
            act.triggered.connect(lambda _=False, text=offer.text: self.chosen.emit(text))
        self._add_picking()

    def _add_picking(self) -> None:
        """Add the deliveries one by one; what is ticked is sent at once."""
        pickable, picked, fixed = self._fill_from
        if len(pickable) < 3:
            return  # one is above, and both are all
        self._menu.addSeparator()
        several = self._menu.addMenu("some of them")
        for name in pickable:
            act = several.addAction(name.replace("&", "&&"))
            act.setCheckable(True)
            act.setChecked(name in picked)
            act.setEnabled(name != fixed)
            wanted = [
                each for each in pickable if (each in picked) != (each == name) or each == fixed
            ]
            text = " + ".join(wanted)
            act.triggered.connect(lambda _=False, text=text: self.chosen.emit(text))
