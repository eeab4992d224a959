"""The picture of a stop as it will be in the clip, drawn beside the window."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Signal

from deliverylab.core.errors import DeliveryLabError
from deliverylab.shell.jobs import Job
from deliverylab.shell.session import Session

if TYPE_CHECKING:
    from deliverylab.core.workflow.frames import ProjectFrames


class WalkPreview(QObject):
    """Draw the stop asked for last; while one is being drawn, others wait, and only the last counts.

    Signals
    -------
    drawn(int, object)
        The stop's number, and its picture, shape (h, w, 3) RGB.
    failed(object)
        A `DeliveryLabError`: there is no such picture.
    """

    drawn = Signal(int, object)
    failed = Signal(object)

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._job: Job | None = None
        self._wanted: tuple[int, tuple[int, int]] | None = None
        # one thread at a time uses it: a job begins when the one before is over
        self._frames: ProjectFrames | None = None
        self._frames_of: object = ()
        self._is_closed = False

    def ask(self, index: int, size: tuple[int, int]) -> None:
        """Want the picture of a stop in this size."""
        self._wanted = (index, size)
        if self._job is None:
            self._begin()

    def close(self) -> None:
        """Let the clips go; nothing is drawn any more."""
        self._wanted, self._is_closed = None, True
        if self._job is None:
            self._let_go()

    def _begin(self) -> None:
        if self._wanted is None:
            return
        (index, size), self._wanted = self._wanted, None
        try:
            if index >= len(self._session.script().stops):
                return
            prepare = self._session.walk_preview(size)
        except DeliveryLabError as error:
            self.failed.emit(error)
            return
        frames = self._frames_now()

        def work(_report: Any) -> Any:
            from deliverylab.core.report.walkthrough_frame import draw_frame

            walk = prepare()
            cue = next(cue for cue in walk.cues if cue.stop == index)
            pair = walk.pair
            pictures = (
                frames(pair.a, pair.camera_a, cue.athlete_frame),
                frames(pair.b, pair.camera_b, cue.model_frame),
            )
            return draw_frame(walk, cue, pictures)

        job = self._job = Job(work, self)
        job.finished.connect(lambda picture: self._on_drawn(index, picture))
        job.failed.connect(self._on_failed)
        job.ended.connect(self._on_ended)
        job.start()

    def _frames_now(self) -> ProjectFrames:
        from deliverylab.core.workflow.frames import ProjectFrames

        if self._frames is None or self._frames_of != self._session.path:
            self._let_go()
            self._frames_of = self._session.path
            self._frames = ProjectFrames(self._session.path)
        return self._frames

    def _let_go(self) -> None:
        if self._frames is not None:
            self._frames.close()
            self._frames = None

    def _on_drawn(self, index: int, picture: object) -> None:
        if self._wanted is None and not self._is_closed:
            self.drawn.emit(index, picture)

    def _on_failed(self, error: BaseException) -> None:
        if not isinstance(error, DeliveryLabError):
            raise error
        if not self._is_closed:
            self.failed.emit(error)

    def _on_ended(self) -> None:
        self._job = None
        if self._is_closed:
            self._let_go()
        else:
            self._begin()
