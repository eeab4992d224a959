"""A landmark's two coordinates over time, below the scrub bar and on its axis."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QHideEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QComboBox, QFrame, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from deliverylab.core.model.track import ORIGINS, Origin
from deliverylab.shell.coordinate_content import (
    coordinate_scene,
    doubt_text,
    landmark_name,
    landmark_to_show,
    placed_landmarks,
    playhead_place,
    position_text,
)
from deliverylab.shell.drawing.elided_label import ElidedLabel
from deliverylab.shell.look_watch import LookWatch
from deliverylab.shell.session import Session
from deliverylab.shell.theme import on_theme_changed
from deliverylab.shell.widgets.scrub_bar import ScrubBar

if TYPE_CHECKING:
    from deliverylab.shell.widgets.coordinate_plot import CoordinatePlot

SYMBOL_SIZE, GAP = 14, 6
LONGEST_WORDS = "8888.8 across, 8888.8 up ± 88.8 px"
ABOUT = (
    "Across is counted from the left edge of the picture as it was filmed, up from its lower edge.\n"
    "The band is ±, rings are positions to check."
)


class CoordinatesPane(QFrame):
    """Show how the landmark in hand runs through the active clip.

    Nothing is drawn, and the library that draws is not loaded, before the pane is seen.

    Parameters
    ----------
    session : Session
    bar : ScrubBar
        Whose axis is shown: both are stretched together.
    watch : LookWatch
        Knows which positions are to be checked.

    Attributes
    ----------
    plot : CoordinatePlot or None
        The curves; None before they were wanted.
    chooser : QComboBox
        The landmarks that have positions.
    """

    def __init__(
        self, session: Session, bar: ScrubBar, watch: LookWatch, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session, self._bar, self._watch = session, bar, watch
        self._landmark = ""
        self.plot: CoordinatePlot | None = None
        self.setObjectName("pane")
        self.chooser = QComboBox()
        self.chooser.setAccessibleName("Landmark whose coordinates are shown")
        self.chooser.setToolTip(f"Landmark whose coordinates are shown\n{ABOUT}")
        self.chooser.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.chooser.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.chooser.activated.connect(self._on_landmark_chosen)
        self._words, self._doubt = ElidedLabel(), ElidedLabel()
        self._symbols: dict[Origin, tuple[QLabel, QLabel]] = {}
        self._lay_out()
        self._connect()

    @property
    def words(self) -> str:
        """What is said of the landmark in the shown frame."""
        return self._words.full_text

    @property
    def doubt(self) -> str:
        """Why its position there is to be checked, else which others are, or empty."""
        return self._doubt.full_text

    def _lay_out(self) -> None:
        head = QHBoxLayout()
        head.setContentsMargins(8, 2, 10, 0)
        head.setSpacing(GAP)
        head.addWidget(self.chooser)
        head.addWidget(self._words, 1)
        for origin in ORIGINS:
            symbol, name = QLabel(), QLabel(origin)
            symbol.setToolTip(origin)
            name.setProperty("role", "small")
            self._symbols[origin] = symbol, name
            head.addWidget(symbol)
            head.addWidget(name)
        self._column = QVBoxLayout(self)
        # as the scrub bar's pane has it, so that the same moment lies below itself
        self._column.setContentsMargins(4, 4, 4, 4)
        self._column.setSpacing(2)
        self._column.addLayout(head)
        below = QHBoxLayout()
        below.setContentsMargins(10, 0, 10, 0)
        below.addWidget(self._doubt)
        self._column.addLayout(below)

    def _connect(self) -> None:
        session = self._session
        session.changed.connect(self.refresh)
        session.selection_changed.connect(self.refresh)
        session.display_changed.connect(self.refresh)
        session.current_landmark_changed.connect(self._on_landmark_changed)
        session.next_landmark_changed.connect(self._on_landmark_changed)
        session.frame_changed.connect(self._show_frame)
        self._watch.updated.connect(self.refresh)
        self._bar.span_changed.connect(self._show_span)

    def _made_plot(self) -> CoordinatePlot:
        """Return the curves, made now if they were never seen."""
        if self.plot is None:
            # loads pyqtgraph: a window that shows no curves starts without it
            from deliverylab.shell.widgets.coordinate_plot import CoordinatePlot

            plot = self.plot = CoordinatePlot()
            plot.point_chosen.connect(self._on_point_chosen)
            plot.frames_stepped.connect(self._session.step)
            plot.zoomed.connect(self._bar.zoom)
            plot.all_wanted.connect(self._bar.show_all)
            self._column.addWidget(plot, 1)
            on_theme_changed(self, self._show_symbols)
        return self.plot

    # ------------------------------------------------------------------- following the session

    def showEvent(self, event: QShowEvent) -> None:
        """Begin to follow."""
        super().showEvent(event)
        self._made_plot()
        self._watch.want(self, is_wanted=True)
        self._show_span()
        self.refresh()

    def hideEvent(self, event: QHideEvent) -> None:
        """Stop following."""
        super().hideEvent(event)
        self._watch.want(self, is_wanted=False)

    def refresh(self, *_ignored: object) -> None:
        """Draw what is so now."""
        if not self.isVisible() or self.plot is None:
            return
        session, side = self._session, self._session.active_side
        self._landmark = landmark_to_show(session, side, self._landmark)
        shown = self.plot.scene_shown
        scene = coordinate_scene(session, side, self._landmark, self._watch.looks)
        self.plot.show_scene(scene)
        self._show_choice()
        if (scene.origins_shown, scene.hue) != (shown.origins_shown, shown.hue):
            self._show_symbols()
        self._show_frame()

    def _on_landmark_changed(self, *_ignored: object) -> None:
        """Follow the landmark in hand to another one."""
        session = self._session
        if not self.isVisible():
            return
        if landmark_to_show(session, session.active_side, self._landmark) != self._landmark:
            self.refresh()

    def _show_choice(self) -> None:
        """List the landmarks that have positions, and the one that is shown."""
        session, side = self._session, self._session.active_side
        keys = placed_landmarks(session, side)
        if self._landmark and self._landmark not in keys:
            keys = (self._landmark, *keys)
        rows = range(self.chooser.count())
        listed = [(self.chooser.itemText(row), self.chooser.itemData(row)) for row in rows]
        # the same landmark is called otherwise in a left-hander
        wanted = [(landmark_name(session, side, key), key) for key in keys]
        if wanted != listed:
            self.chooser.clear()
            for name, key in wanted:
                self.chooser.addItem(name, key)
        self.chooser.setCurrentIndex(self.chooser.findData(self._landmark))
        self.chooser.setVisible(bool(keys))

    def _show_symbols(self) -> None:
        """Explain the marks that are seen."""
        if self.plot is None:
            return
        from deliverylab.shell.widgets.coordinate_plot import symbol_pixmap

        scene = self.plot.scene_shown
        for origin, (symbol, name) in self._symbols.items():
            is_seen = origin in scene.origins_shown
            symbol.setVisible(is_seen)
            name.setVisible(is_seen and self._has_room_for_names(scene.origins_shown))
            if is_seen:
                ratio = self.devicePixelRatioF()
                symbol.setPixmap(symbol_pixmap(origin, scene.hue, SYMBOL_SIZE, ratio))

    def _has_room_for_names(self, origins: tuple[Origin, ...]) -> bool:
        """Return whether marks can be named beside what is said of the position."""
        metrics = self._words.fontMetrics()
        names = sum(metrics.horizontalAdvance(name) + SYMBOL_SIZE + 2 * GAP for name in origins)
        words = metrics.horizontalAdvance(LONGEST_WORDS) + 3 * GAP
        return self.chooser.sizeHint().width() + words + names + 3 * GAP <= self.width()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Name the marks where there is room."""
        super().resizeEvent(event)
        self._show_symbols()

    def _show_span(self) -> None:
        if self.plot is not None and self.isVisible():
            layout = self._bar.layout_now()
            beside = layout.width - layout.right
            self.plot.show_span(layout.low, layout.high, layout.left, beside)

    def _show_frame(self, *_ignored: object) -> None:
        """Move the playhead and say what is known there."""
        session, side = self._session, self._session.active_side
        place = playhead_place(session, side)
        if self.plot is None or not self.isVisible() or place is None:
            return
        frame = session.state(side).frame
        self.plot.show_playhead(place)
        self._words.setText(position_text(self.plot.scene_shown, frame))
        doubt = doubt_text(self.plot.scene_shown, frame)
        self._doubt.setText(doubt)
        self._doubt.setVisible(bool(doubt))

    # ------------------------------------------------------------------------------ intents

    def _on_point_chosen(self, frame: int) -> None:
        session, side = self._session, self._session.active_side
        session.show_frame(side, frame)
        session.choose_landmark(side, self._landmark)

    def _on_landmark_chosen(self, _index: int) -> None:
        """Show another landmark; where the frame has it, it is taken in hand as well."""
        session, side = self._session, self._session.active_side
        key = str(self.chooser.currentData())
        camera = session.camera(side)
        is_here = camera is not None and camera.track(key).at(session.state(side).frame) is not None
        # where it is not, the other one is let go: it would be followed again
        session.choose_landmark(side, key if is_here else "")
        self._landmark = key
        self.refresh()
