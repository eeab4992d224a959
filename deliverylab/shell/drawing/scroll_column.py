"""An area that scrolls a column up and down, without a frame."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QFrame, QLayout, QScrollArea


def scroll_column(*, takes_focus: bool = False) -> QScrollArea:
    """Return an area whose content is as wide as it is itself.

    Where rows take the keyboard one by one the area itself does not: it would be one stop too many.
    """
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    if not takes_focus:
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    return area


def clear(layout: QLayout) -> None:
    """Take all widgets out of a layout, and away."""
    while (item := layout.takeAt(0)) is not None:
        widget = item.widget()
        if widget is not None:
            widget.hide()
            widget.deleteLater()


def settle(layout: QLayout) -> None:
    """Give a layout that was filled anew the height that its content needs.

    What is new has its type only once it is shown; the column is measured again after that.
    """
    owner = layout.parentWidget()
    if owner is not None:
        QTimer.singleShot(0, owner, owner.updateGeometry)
        QTimer.singleShot(0, layout, layout.invalidate)
