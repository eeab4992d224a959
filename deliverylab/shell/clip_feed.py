"""Pictures of one clip for one stage: at once where it is warm, exact when the hand rests."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QSocketNotifier, Qt, QTimer, Signal

from deliverylab.core.errors import DeliveryLabError

if TYPE_CHECKING:
    from deliverylab.core.video.cache import FrameServer, ServedFrame

REST_MS = 80
WARM_WAIT_S = 0.010
COLD_WAIT_S = 0.002
EXACT_WAIT_S = 0.25
POLL_MS = 15
WARMING_MS = 150


class ClipFeed(QObject):
    """Ask a frame server for what a stage shows.

    `show` asks, and before anything is painted again waits a few milliseconds for the answer: both
    stages ask before either waits, so that their processes work at the same time.  What takes
    longer comes when it comes.  When nothing else is asked for during `REST_MS`, the exact frame
    follows.

    Attributes
    ----------
    frame : int or None
        Frame wanted.
    is_exact : bool
        Whether the exact picture of that frame has been delivered.

    Signals
    -------
    picture_arrived(object)
        A `ServedFrame` of the wanted frame; its picture must be copied at once.
    warmed(float)
        Share of the clip that is warm.
    failed(object)
        A `DeliveryLabError`: the clip, or this frame, cannot be shown.
    """

    picture_arrived = Signal(object)
    warmed = Signal(float)
    failed = Signal(object)
    _due = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.frame: int | None = None
        self.is_exact = False
        self._has_picture = False
        self._server: FrameServer | None = None
        self._notifier: QSocketNotifier | None = None
        self._rest = self._timer(REST_MS, self._on_rested, is_single=True)
        self._poll = self._timer(POLL_MS, self._on_readable)
        self._warming = self._timer(WARMING_MS, self._on_warming)
        # queued: it runs before the next paint, which Qt puts behind all other events
        self._due.connect(self._on_due, Qt.ConnectionType.QueuedConnection)

    def _timer(self, interval_ms: int, slot: object, *, is_single: bool = False) -> QTimer:
        timer = QTimer(self)
        timer.setInterval(interval_ms)
        timer.setSingleShot(is_single)
        timer.timeout.connect(slot)
        return timer

    @property
    def is_open(self) -> bool:
        """Whether there is a clip."""
        return self._server is not None

    def open(self, path: Path, first_frame: int = 0, last_frame: int | None = None) -> None:
        """Read a clip's index and begin to warm it; `failed` says when that cannot be."""
        from deliverylab.core.video.cache import FrameServer
        from deliverylab.core.video.index import build_index

        self.close()
        try:
            index = build_index(path)
            last = None if last_frame is None else min(last_frame, index.n_frames - 1)
            server = FrameServer(index, first_frame=min(first_frame, last or 0), last_frame=last)
            server.start()
        except DeliveryLabError as error:
            self.failed.emit(error)
            return
        self._adopt(server)

    def _adopt(self, server: FrameServer) -> None:
        """Take a running frame server over."""
        self._server = server
        if sys.platform == "win32":
            # a notifier cannot watch a pipe there
            self._poll.start()
        else:
            self._notifier = QSocketNotifier(server.fileno(), QSocketNotifier.Type.Read, self)
            self._notifier.activated.connect(self._on_readable)
        self._warming.start()

    def close(self) -> None:
        """Let the clip go and end its process; safe to call twice."""
        for timer in (self._rest, self._poll, self._warming):
            timer.stop()
        if self._notifier is not None:
            self._notifier.setEnabled(False)
            self._notifier.deleteLater()
            self._notifier = None
        server, self._server = self._server, None
        self.frame, self.is_exact = None, False
        if server is not None:
            server.close()

    def show(self, frame: int) -> None:
        """Want this frame: before the next paint if it is warm, else as soon as it comes."""
        if self._server is None:
            return
        self.frame, self.is_exact, self._has_picture = frame, False, False
        self._rest.start()
        try:
            self._server.request(frame)
        except DeliveryLabError as error:
            self._fail(error)
            return
        self._due.emit()

    def _on_due(self) -> None:
        if self._server is not None and self.frame is not None and not self._has_picture:
            is_warm = self._server.warm_fraction >= 1.0
            self._fetch(self.frame, WARM_WAIT_S if is_warm else COLD_WAIT_S, is_exact=False)

    def show_exact(self) -> None:
        """Want the exact picture of the frame: waits for it a moment, else it comes later."""
        if self._server is not None and self.frame is not None and not self.is_exact:
            self._rest.stop()
            self._fetch(self.frame, EXACT_WAIT_S, is_exact=True)

    def _fetch(self, frame: int, wait_s: float, *, is_exact: bool) -> None:
        server = self._server
        if server is None:  # closed meanwhile
            return
        try:
            served = server.fetch(frame, wait_s, exact=is_exact)
        except DeliveryLabError as error:
            self._fail(error)
            return
        if served is not None:
            self._deliver(served)

    def _deliver(self, served: ServedFrame) -> None:
        if served.frame == self.frame and not self.is_exact:
            self.is_exact, self._has_picture = served.is_exact, True
            if served.is_exact:
                self._rest.stop()
            self.picture_arrived.emit(served)

    def _fail(self, error: DeliveryLabError) -> None:
        self._rest.stop()
        try:
            if self._server is not None:
                self._server.fileno()
        except DeliveryLabError:
            # the process is gone for good, and with it what the notifier watched
            self.close()
        self.failed.emit(error)

    def _on_readable(self) -> None:
        if self._server is None:
            return
        try:
            served = self._server.poll()
        except DeliveryLabError as error:
            self._fail(error)
            return
        if served is not None:
            self._deliver(served)

    def _on_rested(self) -> None:
        """Ask for the exact frame without waiting."""
        if self._server is not None and self.frame is not None and not self.is_exact:
            try:
                self._server.request(self.frame, exact=True)
            except DeliveryLabError as error:
                self._fail(error)

    def _on_warming(self) -> None:
        if self._server is not None:
            fraction = self._server.warm_fraction
            if fraction >= 1.0:
                self._warming.stop()
            self.warmed.emit(fraction)
