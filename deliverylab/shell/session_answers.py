"""Every question about the deliveries on the two stages: results, differences, what is missing."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QObject

from deliverylab.core.compare.verdict import Difference
from deliverylab.core.metrics.spec import Result
from deliverylab.core.model.delivery import ClipReference, Mark
from deliverylab.shell.session_state import SessionState, Side, placing_keys

if TYPE_CHECKING:
    from deliverylab.core.compare.align import Timeline
    from deliverylab.core.metrics.curves import Curve
    from deliverylab.core.workflow.checklist import Step
    from deliverylab.core.workflow.health import Finding


class SessionAnswers(SessionState):
    """Answers about what `SessionState` holds; computed when asked for, by the core."""

    def __init__(self, parent: QObject | None = None) -> None:
        self._timelines: dict[Side, tuple[dict[str, Mark], Timeline | None]] = {}
        self._clip_paths: dict[tuple[Path | None, ClipReference], Path | None] = {}
        super().__init__(parent)

    def timeline(self, side: Side) -> Timeline | None:
        """Return the phase scale of a stage's clip; None with fewer than two of its events."""
        camera = self.camera(side)
        if camera is None:
            return None
        kept = self._timelines.get(side)
        if kept is None or kept[0] is not camera.marks:
            from deliverylab.core.compare.align import Timeline

            kept = (camera.marks, Timeline.of_or_none(camera))
            self._timelines[side] = kept
        return kept[1]

    def phase(self, side: Side) -> float | None:
        """Return the phase of the shown frame, percent, or None without a phase scale."""
        timeline = self.timeline(side)
        return None if timeline is None else float(timeline.phase_at(self.time_s(side)))

    def results(self, side: Side) -> tuple[Result, ...]:
        """Return all results of a stage's delivery, shown or not, in the catalogue's order."""
        delivery = self.delivery(side)
        if delivery is None:
            return ()
        from deliverylab.core.metrics.evaluate import evaluate

        return evaluate(delivery)

    def differences(self) -> tuple[Difference, ...]:
        """Return the differences athlete minus model; none without a partner."""
        athlete, model = self.delivery("athlete"), self.delivery("model")
        if athlete is None or model is None:
            return ()
        from deliverylab.core.compare.difference import differences

        return differences(athlete, model)

    def curve(self, side: Side, metric: str) -> Curve | None:
        """Return a metric over the clip of a stage, or None where there is none."""
        delivery = self.delivery(side)
        if delivery is None:
            return None
        from deliverylab.core.metrics.curves import metric_curve

        return metric_curve(delivery, metric, self._sides[side].camera)

    def checklist(self) -> tuple[Step, ...]:
        """Return the six steps of the job with their state."""
        from deliverylab.core.workflow.checklist import checklist

        return checklist(self.delivery("athlete"), self.delivery("model"))

    def complaints(self, side: Side) -> tuple[str, ...]:
        """Return what is doubtful about the event marks of a stage, in plain words."""
        camera = self.camera(side)
        if camera is None:
            return ()
        from deliverylab.core.events.check import mark_complaints

        return tuple(mark_complaints(camera))

    def findings(self) -> tuple[Finding, ...]:
        """Return what the health check of the whole project finds."""
        from deliverylab.core.workflow.health import project_health

        return tuple(project_health(self.record, self.path))

    def coverage(self, side: Side) -> NDArray[np.float64]:
        """Return the share of the 20 body landmarks placed in each frame, shape (n_frames,)."""
        delivery, camera = self.delivery(side), self.camera(side)
        if delivery is None or camera is None:
            return np.zeros(0)
        keys = placing_keys(delivery.athlete.hand)
        n_placed = np.zeros(camera.timing.n_frames)
        for key in keys:
            n_placed[camera.track(key).frames] += 1.0
        return n_placed / len(keys)

    def clip_path(self, side: Side) -> Path | None:
        """Return where the clip of a stage lies now; None without one or when it is not found."""
        camera = self.camera(side)
        if camera is None or camera.clip is None:
            return None
        key = (self.path, camera.clip)
        if key not in self._clip_paths:
            from deliverylab.core.store.clips import resolve_clip

            self._clip_paths[key] = resolve_clip(self.path, camera.clip)
        return self._clip_paths[key]
