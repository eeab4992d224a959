"""Looks of the window: colours dark and light, type sizes, icons, one style sheet."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from string import Template
from typing import Literal

from PySide6.QtCore import QByteArray, QObject, QRectF, QSize, Qt, QTemporaryDir, Signal
from PySide6.QtGui import QColor, QFont, QGuiApplication, QIcon, QPainter, QPalette, QPixmap
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QApplication

Look = Literal["dark", "light", "system"]
ICON_SIZES = (16, 20, 24, 32, 48)


@dataclass(frozen=True, kw_only=True)
class Colours:
    """Colours by what they stand for, as ``#rrggbb``.

    Attributes
    ----------
    ground, pane, raised, line : str
        Behind everything, a pane, what lies on a pane, hairlines.
    text, quiet, faint : str
        Main text, explanations, what is out of reach.
    accent, on_accent : str
        What is next or selected, and text on it.
    throwing, glove, model : str
        Throwing side, glove side, the model delivery.
    good, caution, problem : str
        Done, worth a look, in the way; never without a shape or a word beside them.
    """

    ground: str
    pane: str
    raised: str
    line: str
    text: str
    quiet: str
    faint: str
    accent: str
    on_accent: str
    throwing: str
    glove: str
    model: str
    good: str
    caution: str
    problem: str


DARK = Colours(
    ground="#0e1217",
    pane="#161b22",
    raised="#1f2731",
    line="#2b3541",
    text="#eceff2",
    quiet="#a3aeb9",
    faint="#66727f",
    accent="#e9edf0",
    on_accent="#12171d",
    throwing="#f2a541",
    glove="#53c7b8",
    model="#b7a6e6",
    good="#86c99a",
    caution="#f0c564",
    problem="#f08a7c",
)
LIGHT = Colours(
    ground="#dfe3e6",
    pane="#f7f8f8",
    raised="#ffffff",
    line="#cfd5da",
    text="#1a2027",
    quiet="#54606c",
    faint="#8a949e",
    accent="#27323d",
    on_accent="#ffffff",
    throwing="#9c5a08",
    glove="#0f766b",
    model="#6a55a8",
    good="#2d7a45",
    caution="#8a6100",
    problem="#b23b2c",
)

_SHEET = Template("""
* { outline: none; }
QMainWindow, QDialog { background: $ground; }
QToolTip { background: $raised; color: $text; border: 1px solid $line; padding: 6px; }
QMenuBar { background: $ground; color: $quiet; padding: 2px 6px; }
QMenuBar::item { padding: 4px 9px; border-radius: 5px; background: transparent; }
QMenuBar::item:selected { background: $raised; color: $text; }
QMenu { background: $raised; color: $text; border: 1px solid $line; padding: 5px; }
QMenu::item { padding: 5px 26px 5px 12px; border-radius: 4px; }
QMenu::item:selected { background: $accent; color: $on_accent; }
QMenu::item:disabled { color: $faint; }
QMenu::icon { padding-left: 8px; }
QMenu::separator { height: 1px; background: $line; margin: 5px 8px; }
QFrame#pane, QWidget#pane { background: $pane; border-radius: 9px; }
QFrame#card { background: $raised; border-radius: 7px; }
QFrame#rule { background: $line; max-height: 1px; min-height: 1px; border: none; }
QLabel { color: $text; background: transparent; }
QLabel[role="quiet"] { color: $quiet; }
QLabel[role="small"] { color: $quiet; font-size: ${small}pt; }
QLabel[role="faint"] { color: $faint; font-size: ${small}pt; }
QLabel[role="heading"] { font-size: ${heading}pt; font-weight: 600; }
QLabel[role="title"] { font-size: ${title}pt; font-weight: 600; }
QLabel[role="value"] { font-size: ${value}pt; font-weight: 600; }
QLabel[role="strong"] { font-weight: 600; }
QLabel[role="good"] { color: $good; }
QLabel[role="caution"] { color: $caution; }
QLabel[role="problem"] { color: $problem; }
QScrollArea, QScrollArea > QWidget > QWidget { background: transparent; border: none; }
QScrollBar:vertical { background: transparent; width: 9px; margin: 0; }
QScrollBar:horizontal { background: transparent; height: 9px; margin: 0; }
QScrollBar::handle { background: $line; border-radius: 4px; min-height: 28px; min-width: 28px; }
QScrollBar::handle:hover { background: $faint; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0; height: 0; }
QScrollBar::add-page, QScrollBar::sub-page { background: transparent; }
QPushButton { background: $raised; color: $text; border: 1px solid $line; border-radius: 6px;
  padding: 5px 13px; }
QPushButton:hover { border-color: $quiet; }
QPushButton:pressed { background: $line; }
QPushButton:focus { border: 1px solid $accent; }
QPushButton:disabled { color: $faint; }
QDialogButtonBox { dialogbuttonbox-buttons-have-icons: 0; }
QMessageBox { messagebox-text-interaction-flags: 0; }
QPushButton[role="main"] { background: $accent; color: $on_accent; border: 1px solid $accent;
  font-weight: 600; }
QPushButton[role="main"]:hover, QPushButton[role="main"]:focus { border: 1px solid $quiet; }
QPushButton[role="main"]:disabled { background: $line;
  border-color: $line; color: $faint; }
QPushButton[role="choice"]:checked { background: $accent; color: $on_accent;
  border: 1px solid $accent; }
QPushButton[role="link"] { background: transparent; border: none; color: $quiet; padding: 3px 5px;
  text-align: left; }
QPushButton[role="link"]:hover, QPushButton[role="link"]:focus { color: $text;
  text-decoration: underline; }
QToolButton { background: transparent; color: $text; border: 1px solid transparent;
  border-radius: 6px; padding: 4px; }
QToolButton:hover { background: $raised; }
QToolButton:focus { border: 1px solid $quiet; }
QToolButton:checked { background: $raised; border: 1px solid $faint; }
QToolButton:disabled { color: $faint; }
QToolButton::menu-indicator { image: none; }
QCheckBox::indicator { width: 13px; height: 13px; border: 1px solid $quiet; border-radius: 3px;
  background: $pane; }
QCheckBox::indicator:checked { background: $accent; border-color: $accent; }
QCheckBox:focus { color: $accent; }
QLineEdit, QPlainTextEdit, QComboBox, QAbstractSpinBox { background: $raised; color: $text;
  border: 1px solid $line; border-radius: 6px; padding: 4px 7px;
  selection-background-color: $accent; selection-color: $on_accent; }
QLineEdit:focus, QPlainTextEdit:focus, QComboBox:focus, QAbstractSpinBox:focus {
  border: 1px solid $quiet; }
QAbstractSpinBox QLineEdit, QComboBox QLineEdit { border: none; padding: 0; margin: 0;
  background: transparent; }
QComboBox::drop-down, QDateEdit::drop-down { border: none; background: transparent; width: 22px; }
QComboBox::down-arrow, QDateEdit::down-arrow { image: url("$more"); width: 12px; height: 12px; }
QAbstractSpinBox::up-button, QAbstractSpinBox::down-button { border: none; background: transparent;
  width: 20px; }
QAbstractSpinBox::up-arrow { image: url("$less"); width: 10px; height: 10px; }
QAbstractSpinBox::down-arrow { image: url("$more"); width: 10px; height: 10px; }
QAbstractSpinBox QLineEdit { padding-left: 6px; }
QLineEdit[state="wrong"] { border: 1px solid $problem; }
QLineEdit:disabled, QComboBox:disabled, QAbstractSpinBox:disabled { color: $faint; }
QComboBox QAbstractItemView { background: $raised; color: $text; border: 1px solid $line;
  selection-background-color: $accent; selection-color: $on_accent; }
QHeaderView::section { background: $pane; color: $quiet; border: none;
  border-bottom: 1px solid $line; padding: 5px 8px; }
QTableView { background: $pane; color: $text; border: none; gridline-color: $line;
  selection-background-color: $line; selection-color: $text; }
QSplitter::handle { background: transparent; }
QProgressBar { background: $line; border: none; border-radius: 3px; max-height: 6px;
  min-height: 6px; }
QProgressBar::chunk { background: $accent; border-radius: 3px; }
QGroupBox { border: none; margin-top: 0; padding: 0; }
QTabBar::tab { color: $quiet; padding: 5px 5px; border-bottom: 2px solid transparent; }
QTabBar::tab:selected { color: $text; border-bottom: 2px solid $text; }
QTabBar::tab:focus { color: $text; background: $raised; }
QFrame#step { border-radius: 7px; background: transparent; border: 1px solid transparent; }
QFrame#step[state="next"] { background: $raised; }
QFrame#step:hover { border: 1px solid $line; }
QFrame#step:focus { border: 1px solid $quiet; }
QFrame#notice { background: $raised; border-radius: 7px; border: 1px solid $line; }
QFrame#notice[level="caution"] { border-color: $caution; }
QFrame#notice[level="problem"] { border-color: $problem; }
""")


class Theme(QObject):
    """The look in use.

    Attributes
    ----------
    colours : Colours
        Present colours.
    scale : float
        Factor of the system's type size.

    Signals
    -------
    changed()
        Colours or sizes are others now: what paints itself repaints.
    """

    changed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.colours = DARK
        self.scale = 1.0
        self._system_point_size = 0.0
        self._folder = QTemporaryDir()
        self._is_dressed = False

    def apply(self, app: QApplication, look: Look = "dark", scale: float = 1.0) -> None:
        """Dress the whole application."""
        if not self._system_point_size:
            self._system_point_size = max(9.0, app.font().pointSizeF())
        is_light = look == "light" or (look == "system" and not _is_system_dark())
        self.colours = LIGHT if is_light else DARK
        self.scale = min(max(scale, 0.7), 2.5)
        font = QFont(app.font())
        font.setPointSizeF(self.point_size())
        if not self._is_dressed:
            app.setStyle("Fusion")
            self._is_dressed = True
        # each of these goes through every widget there is, so only what is new is set
        if app.font() != font:
            app.setFont(font)
        palette = _qt_palette(self.colours)
        if app.palette() != palette:
            app.setPalette(palette)
        sheet = self._sheet()
        if app.styleSheet() != sheet:
            app.setStyleSheet(sheet)
        tinted_icon.cache_clear()
        self.changed.emit()

    def point_size(self, factor: float = 1.0) -> float:
        """Return a type size in points: the system's, times the user's scale, times a factor."""
        return round(max(9.0, self._system_point_size) * self.scale * factor, 1)

    def colour(self, name: str) -> QColor:
        """Return a colour by its name in `Colours`."""
        return QColor(getattr(self.colours, name))

    def _sheet(self) -> str:
        sizes = {"small": 0.88, "heading": 1.12, "title": 1.4, "value": 1.45}
        return _SHEET.substitute(
            {name: f"{self.point_size(factor):.1f}" for name, factor in sizes.items()}
            | {name: getattr(self.colours, name) for name in Colours.__annotations__}
            | {name: self._arrow_path(name) for name in ("more", "less")}
        )

    def _arrow_path(self, name: str) -> str:
        """Write an arrow of a field, in the ink of the look, where the style sheet can read it."""
        path = Path(self._folder.path()) / f"{name}-{self.colours.quiet.lstrip('#')}.png"
        svg_pixmap(name, self.colours.quiet, 24).save(str(path))
        return path.as_posix()


@lru_cache(maxsize=1)
def theme() -> Theme:
    """Return the application's theme."""
    return Theme()


def icon_dir() -> Path:
    """Return where the icons lie: in the package once installed, else at the repository's top.

    Raises
    ------
    FileNotFoundError
        Neither is there: the installation is not complete.
    """
    package = Path(__file__).resolve().parent.parent
    for folder in (package / "icons", package.parent / "icons"):
        if any(folder.glob("*.svg")):
            return folder
    raise FileNotFoundError(package / "icons")


def icon(name: str, colour: str = "text") -> QIcon:
    """Return an icon drawn in a colour of the theme.

    Parameters
    ----------
    name : str
        File name without ``.svg``.
    colour : str
        Name in `Colours`.
    """
    colours = theme().colours
    return tinted_icon(name, getattr(colours, colour), colours.faint)


@lru_cache(maxsize=256)
def tinted_icon(name: str, colour: str, disabled_colour: str) -> QIcon:
    """Return an icon in a colour, and greyed for what is disabled."""
    made = QIcon()
    for mode, ink in ((QIcon.Mode.Normal, colour), (QIcon.Mode.Disabled, disabled_colour)):
        for size in ICON_SIZES:
            made.addPixmap(svg_pixmap(name, ink, size), mode)
    return made


def svg_pixmap(name: str, colour: str, size: int, ratio: float = 1.0) -> QPixmap:
    """Return an icon as a square picture of `size` logical pixels."""
    drawing = QSvgRenderer(QByteArray(_svg_text(name).replace("currentColor", colour).encode()))
    pixmap = QPixmap(QSize(size, size) * ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    drawing.render(painter, QRectF(0, 0, size * ratio, size * ratio))
    painter.end()
    pixmap.setDevicePixelRatio(ratio)
    return pixmap


@lru_cache(maxsize=128)
def _svg_text(name: str) -> str:
    return (icon_dir() / f"{name}.svg").read_text(encoding="utf-8")


def on_theme_changed(receiver: QObject, react: Callable[[], None]) -> None:
    """Call `react` now and whenever the look changes, as long as the receiver lives."""
    connection = theme().changed.connect(react)
    receiver.destroyed.connect(lambda: QObject.disconnect(connection))
    react()


def _is_system_dark() -> bool:
    return QGuiApplication.styleHints().colorScheme() == Qt.ColorScheme.Dark


def _qt_palette(colours: Colours) -> QPalette:
    palette = QPalette()
    roles = QPalette.ColorRole
    for role, name in (
        (roles.Window, "ground"),
        (roles.Base, "pane"),
        (roles.AlternateBase, "raised"),
        (roles.Button, "raised"),
        (roles.ToolTipBase, "raised"),
        (roles.Mid, "line"),
        (roles.WindowText, "text"),
        (roles.Text, "text"),
        (roles.ButtonText, "text"),
        (roles.ToolTipText, "text"),
        (roles.BrightText, "problem"),
        (roles.PlaceholderText, "faint"),
        (roles.Highlight, "accent"),
        (roles.HighlightedText, "on_accent"),
        (roles.Link, "glove"),
    ):
        palette.setColor(role, QColor(getattr(colours, name)))
    for role in (roles.WindowText, roles.Text, roles.ButtonText):
        palette.setColor(QPalette.ColorGroup.Disabled, role, QColor(colours.faint))
    return palette
