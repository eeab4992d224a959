"""What stands where in the window, and how it follows the session."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from PySide6.QtCore import QByteArray, Qt
from PySide6.QtWidgets import (
    QFrame,
    QMainWindow,
    QSplitter,
    QStackedWidget,
    QTabBar,
    QVBoxLayout,
    QWidget,
)

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.actions_flow import LINE_BUTTONS
from deliverylab.shell.look_watch import LookWatch
from deliverylab.shell.menus import Actions
from deliverylab.shell.messages import Level, MessageLine, error_text
from deliverylab.shell.panes.causes import CausesPane
from deliverylab.shell.panes.checklist import ChecklistPane
from deliverylab.shell.panes.comparison import ComparisonPane
from deliverylab.shell.panes.coordinates import CoordinatesPane
from deliverylab.shell.panes.page_preview import PagePane
from deliverylab.shell.panes.placing_line import PlacingLinePane
from deliverylab.shell.panes.readings import ReadingsPane
from deliverylab.shell.panes.scrub import ScrubPane
from deliverylab.shell.panes.space import SpacePane
from deliverylab.shell.panes.stage import StagePane
from deliverylab.shell.panes.to_look_at import ToLookAtPane
from deliverylab.shell.panes.top_bar import TopBarPane
from deliverylab.shell.panes.welcome import WelcomePane
from deliverylab.shell.project_files import ProjectFiles
from deliverylab.shell.session import SIDES, Session
from deliverylab.shell.settings import Settings
from deliverylab.shell.space_watch import SpaceWatch
from deliverylab.shell.theme import icon, on_theme_changed, theme

BUTTONS = (
    "add_clip",
    "scale",
    None,
    "undo",
    "redo",
    None,
    "other_side",
    "mirrored",
    None,
    "work_on",
    "page",
    "walkthrough",
    "cautions",
)
COLUMNS = (212, 760, 318)
NUMBERS = ("readings", "differences", "space", "to_look_at")
"""What stands on the right, by tab."""
DESIGNED_POINT_SIZE = 9.0
"""Type size for which the widths here were chosen."""


class WindowLayout(QMainWindow):
    """Panes and menus in their places; what they ask for is carried out by the classes below it.

    Attributes
    ----------
    session, settings, files
        What is worked on, what is remembered, where it is kept.
    stages : dict of str to StagePane
        By side.
    """

    def __init__(
        self, session: Session, settings: Settings, files: ProjectFiles | None = None
    ) -> None:
        super().__init__()
        self.session, self.settings = session, settings
        self.files = files or ProjectFiles(session, settings, self)
        self.actions_by_key = Actions(session, self, self.show_error)
        self.addActions(list(self.actions_by_key.all()))
        self.setAcceptDrops(True)
        self.setMinimumSize(960, 620)
        self.message_line = MessageLine()
        self.notices = self.message_line.notices
        self._after_notice: Callable[[], object] | None = None
        self.notices.action_chosen.connect(self._on_notice_chosen)
        self._make_panes()
        self._lay_out()
        self._connect()
        self._restore()
        self._on_title_changed(session.title)
        self._on_selection_changed()

    # --------------------------------------------------------------------------------- building

    def _make_panes(self) -> None:
        session = self.session
        actions = [self.actions_by_key[key] if key else None for key in BUTTONS]
        self.top_bar = TopBarPane(session, actions)
        self.checklist = ChecklistPane(session)
        self.stages = {side: StagePane(session, side) for side in SIDES}
        self.placing_line = PlacingLinePane(session, [self.actions_by_key[k] for k in LINE_BUTTONS])
        self.scrub = ScrubPane(session)
        self.readings = ReadingsPane(session)
        self.comparison = ComparisonPane(session)
        self.space = SpacePane(session, SpaceWatch(session, self))
        looks = LookWatch(session, self)
        self.to_look_at = ToLookAtPane(session, looks)
        self.coordinates = CoordinatesPane(session, self.scrub.bar, looks)
        self.causes = CausesPane(session)
        self.page = PagePane(session)
        self.page.set_paper(self.settings.get("paper"))
        self.welcome = WelcomePane()

    def _lay_out(self) -> None:
        self._menus = self.actions_by_key.fill(self.menuBar())
        self._recent_menu = self._menus["File"].addMenu("Opened last")
        work = self._work = self._laid_out_work()
        self.centre = QStackedWidget()
        for pane in (self.welcome, work, self.page):
            self.centre.addWidget(pane)
        self._tabs = QTabBar()
        self._tabs.setDrawBase(False)
        self._tabs.setExpanding(False)
        self._tabs.addTab("Readings")
        self._tabs.addTab("Differences")
        self._tabs.addTab("In space")
        self._tabs.setTabToolTip(self._tabs.addTab("Check"), "Positions to look at")
        self._numbers = QStackedWidget()
        self._numbers.addWidget(self.readings)
        self._numbers.addWidget(self.comparison)
        self._numbers.addWidget(self.space)
        self._numbers.addWidget(self.to_look_at)
        self._tabs.currentChanged.connect(self._numbers.setCurrentIndex)
        numbers = _panel(self._tabs, self._numbers)
        self.right = QStackedWidget()
        self.right.addWidget(numbers)
        self.columns = QSplitter(Qt.Orientation.Horizontal)
        self.columns.setChildrenCollapsible(False)
        self.columns.setHandleWidth(8)
        self._left = _panel(self.checklist)
        middle = QWidget()
        below = QVBoxLayout(middle)
        below.setContentsMargins(0, 0, 0, 0)
        below.setSpacing(6)
        below.addWidget(self.centre, 1)
        below.addWidget(self.message_line)
        for part in (self._left, middle, self.right):
            self.columns.addWidget(part)
        self.columns.setStretchFactor(1, 1)
        self.columns.setSizes(list(COLUMNS))
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(10, 2, 10, 8)
        column.setSpacing(6)
        column.addWidget(self.top_bar)
        column.addWidget(self.columns, 1)
        self.setCentralWidget(body)
        on_theme_changed(self, self._on_theme_changed)
        self.setWindowIcon(icon("deliverylab"))

    def _laid_out_work(self) -> QSplitter:
        """Return the stages, the frames below them and the coordinates, with handles between."""
        side_by_side = QSplitter(Qt.Orientation.Horizontal)
        side_by_side.setChildrenCollapsible(False)
        side_by_side.setHandleWidth(8)
        for stage in self.stages.values():
            side_by_side.addWidget(stage)
            stage.setMinimumWidth(220)
        work = QSplitter(Qt.Orientation.Vertical)
        work.setChildrenCollapsible(False)
        work.setHandleWidth(8)
        work.addWidget(_column(side_by_side, self.placing_line))
        work.addWidget(self.scrub)
        work.addWidget(self.coordinates)
        work.addWidget(self.causes)
        self.coordinates.hide()
        self.causes.hide()
        for number, share in enumerate((5, 2, 2, 4)):
            work.setStretchFactor(number, share)
        work.setSizes([520, 245, 200, 420])
        return work

    def _connect(self) -> None:
        session = self.session
        session.title_changed.connect(self._on_title_changed)
        session.selection_changed.connect(self._on_selection_changed)
        session.display_changed.connect(self._on_display_changed)
        self.page.paper_chosen.connect(lambda paper: self.settings.put("paper", paper))
        self.page.closed.connect(lambda: self.centre.setCurrentWidget(self._work))
        for stage in self.stages.values():
            stage.warmed.connect(self.scrub.set_warming)
        self.scrub.hint_changed.connect(self.message_line.set_hint)
        self.files.recent_changed.connect(self._show_recent)
        self.files.set_aside.connect(self._on_set_aside)
        self.files.saved.connect(lambda path: self.say(f"Saved as {Path(path).name}.", "good"))
        self._show_recent()

    def _restore(self) -> None:
        self.session.set_linked(self.settings.get("is_linked"))
        if not self.session.record.deliveries:
            self.session.new_project(self.settings.get("unit_system"))
        geometry = QByteArray.fromBase64(self.settings.get("geometry").encode())
        if geometry.isEmpty() or not self.restoreGeometry(geometry):
            room = self.screen().availableGeometry()
            self.resize(min(1500, room.width() - 40), min(920, room.height() - 60))
        columns = self.settings.get("columns")
        if len(columns) == len(COLUMNS) and all(isinstance(one, int) for one in columns):
            self.columns.setSizes(columns)

    def _on_notice_chosen(self) -> None:
        react, self._after_notice = self._after_notice, None
        if react is not None:
            react()

    def _on_set_aside(self) -> None:
        self.say(
            "This is what was on the disk. Your own version is kept.",
            "caution",
            "Go on with mine",
            self.files.take_up_own,
        )

    def _show_recent(self) -> None:
        paths = [str(path) for path in self.settings.get("recent")]
        self.welcome.show_recent(paths)
        self._recent_menu.clear()
        for path in paths:
            action = self._recent_menu.addAction(Path(path).name)
            action.setToolTip(path)
            action.triggered.connect(partial(self._on_recent_chosen, path))
        self._recent_menu.setToolTipsVisible(True)
        self._recent_menu.setEnabled(bool(paths))

    def _on_recent_chosen(self, path: str, _is_checked: bool = False) -> None:
        self.files.open(Path(path))

    def show_numbers(self, which: str) -> None:
        """Show the ``readings``, the ``differences`` or the figure in ``space`` on the right."""
        self._tabs.setCurrentIndex(NUMBERS.index(which))

    # --------------------------------------------------------------------- following the session

    def _on_theme_changed(self) -> None:
        """Give the columns with text the width that its size needs."""
        factor = theme().point_size() / DESIGNED_POINT_SIZE
        self._left.setMinimumWidth(round(150 * factor))
        self.right.setMinimumWidth(round(268 * factor))

    def _on_title_changed(self, title: str) -> None:
        self.setWindowTitle(f"{title} – deliverylab")
        self.setWindowModified(self.session.is_modified)

    def _on_selection_changed(self, *_ignored: object) -> None:
        has_delivery = self.session.delivery("athlete") is not None
        self.stages["model"].setVisible(self.session.delivery("model") is not None)
        self._tabs.setTabEnabled(1, has_delivery)
        if not has_delivery and self._tabs.currentIndex() == NUMBERS.index("differences"):
            self._tabs.setCurrentIndex(0)
        if not has_delivery:
            self.welcome.setFocus()
            self.right.setCurrentIndex(0)
            self.centre.setCurrentWidget(self.welcome)
        elif self.centre.currentWidget() is self.welcome:
            self.centre.setCurrentWidget(self._work)
            self.stages["athlete"].canvas.setFocus()

    def _on_display_changed(self) -> None:
        self.settings.put("is_linked", self.session.is_linked)

    def say(
        self,
        text: str,
        level: Level = "note",
        action: str = "",
        react: Callable[[], object] | None = None,
    ) -> None:
        """Say something in the line below the stages, with a button if there is something to do."""
        self._after_notice = react
        self.message_line.say(text, level, action)

    def show_error(self, error: DeliveryLabError) -> None:
        """Say what failed, without being in the way."""
        self.say(error_text(error), "problem")


def _column(first: QWidget, line: QWidget) -> QWidget:
    """Return a part with a line below it."""
    made = QWidget()
    column = QVBoxLayout(made)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(2)
    column.addWidget(first, 1)
    column.addWidget(line)
    return made


def _panel(*parts: QWidget) -> QFrame:
    """Return parts below each other on a pane's ground."""
    panel = QFrame()
    panel.setObjectName("pane")
    column = QVBoxLayout(panel)
    column.setContentsMargins(2, 4, 2, 2)
    column.setSpacing(2)
    for part in parts:
        column.addWidget(part)
    return panel
