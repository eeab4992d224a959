"""Every question about the deliveries on the two stages: results, differences, what is missing."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QObject

from deliverylab.core.compare.verdict import Difference
from deliverylab.core.metrics.spec import Result
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.changes import replace
from deliverylab.core.model.delivery import Camera, ClipReference, Delivery, Mark
from deliverylab.core.model.precision import REPLACED_ORIGINS
from deliverylab.core.model.scale import PlanarScale
from deliverylab.core.model.track import ORIGINS
from deliverylab.shell.session_state import SessionState, Side, placing_keys

if TYPE_CHECKING:
    from deliverylab.core.compare.align import Timeline
    from deliverylab.core.compare.parties import Party
    from deliverylab.core.metrics.curves import Curve
    from deliverylab.core.metrics.validity import Absence
    from deliverylab.core.workflow.checklist import Step
    from deliverylab.core.workflow.health import Finding


class LostClip(NamedTuple):
    """A clip that cannot be found: whose it is, and where it was."""

    delivery: str
    camera: str
    path: str


class SessionAnswers(SessionState):
    """Answers about what `SessionState` holds; computed when asked for, by the core."""

    def __init__(self, parent: QObject | None = None) -> None:
        self._timelines: dict[Side, tuple[tuple[object, ...], Timeline | None]] = {}
        self._clip_paths: dict[tuple[Path | None, ClipReference], Path | None] = {}
        super().__init__(parent)

    @property
    def shows_both_clips(self) -> bool:
        """Whether the second stage shows another clip of the athlete's own delivery."""
        name = self._sides["athlete"].delivery
        return name is not None and name == self._sides["model"].delivery

    def partner(self) -> Delivery | None:
        """Return the delivery compared with, on the second stage or not; None without one."""
        if not self.shows_both_clips:
            return self.delivery("model")
        own, pair = self._sides["athlete"].delivery, self.record.pair
        if pair is None or pair[0] != own or pair[1] == own:
            return None
        return self.project.delivery(pair[1])

    def timeline(self, side: Side) -> Timeline | None:
        """Return the phase scale of a stage's clip; None with fewer than two of its events."""
        delivery, camera = self.delivery(side), self.camera(side)
        if delivery is None or camera is None:
            return None
        rests_on = (camera.marks, delivery.space, *(one.marks for one in delivery.cameras))
        kept = self._timelines.get(side)
        if kept is None or not are_the_same(kept[0], rests_on):
            from deliverylab.core.compare.align import Timeline

            marks = {key: Mark(time_s=time_s) for key, time_s in self.event_times_s(side).items()}
            kept = (rests_on, Timeline.of_or_none(replace(camera, marks=marks)))
            self._timelines[side] = kept
        return kept[1]

    def event_times_s(self, side: Side) -> dict[str, float]:
        """Return when events are on the clock of a stage's clip: by its marks, else by solved clocks.

        What is marked in one clip of a solved delivery is known in all.
        """
        delivery, camera = self.delivery(side), self.camera(side)
        if delivery is None or camera is None:
            return {}
        own = {key: mark.time_s for key, mark in camera.marks.items()}
        if delivery.space is None:
            return own
        from deliverylab.core.workflow.space_figure import clip_event_times_s

        low_s, high_s = camera.timing.times_s[[camera.first_frame, camera.end_frame]]
        by_clock = clip_event_times_s(delivery, camera.name)
        return {key: at for key, at in by_clock.items() if low_s <= at <= high_s} | own

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

    def compared(self) -> tuple[Party, Party] | None:
        """Return who is compared with whom: single deliveries, several, or a published group."""
        own = self._sides["athlete"].delivery
        if own is None:
            return None
        from deliverylab.core.compare.parties import compared

        return compared(self.record, own)

    def differences(self) -> tuple[Difference, ...]:
        """Return the differences athlete minus partner; none without a partner."""
        sides = self.compared()
        if sides is None:
            return ()
        from deliverylab.core.compare.difference import compare_parties

        return compare_parties(*sides)

    def curve(self, side: Side, key: str) -> Curve | Absence | None:
        """Return a metric or an angle's speed over the clip of a stage, or why there is none."""
        delivery, camera = self.delivery(side), self._sides[side].camera
        if delivery is None:
            return None
        from deliverylab.core.metrics.angle_speeds import ANGLE_SPEEDS, angle_speed_curve
        from deliverylab.core.metrics.curves import metric_curve

        if key in ANGLE_SPEEDS:
            return angle_speed_curve(delivery, key, camera)
        return metric_curve(delivery, key, camera)

    def checklist(self) -> tuple[Step, ...]:
        """Return the steps of the job with their state."""
        from deliverylab.core.workflow.checklist import checklist

        def has_clear() -> bool:
            return any(one.verdict == "clear" for one in self.differences())

        return checklist(self.delivery("athlete"), self.partner(), self.record, has_clear)

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
        """Return the share of the 20 body landmarks known in each frame, shape (n_frames,)."""
        return self._coverage(side, ORIGINS)

    def coverage_by_hand(self, side: Side) -> NDArray[np.float64]:
        """Return the share of them that is placed or imported, not tracked, detected or bridged."""
        return self._coverage(side, REPLACED_ORIGINS)

    def _coverage(self, side: Side, origins: Collection[str]) -> NDArray[np.float64]:
        delivery, camera = self.delivery(side), self.camera(side)
        if delivery is None or camera is None:
            return np.zeros(0)
        keys = placing_keys(delivery.athlete.hand)
        n_placed = np.zeros(camera.timing.n_frames)
        wanted = np.array([origin in origins for origin in ORIGINS])
        for key in keys:
            track = camera.track(key)
            n_placed[track.frames[wanted[track.origins]]] += 1.0
        return n_placed / len(keys)

    def deliveries(self) -> tuple[Delivery, ...]:
        """Return all deliveries, in their order."""
        return self.record.deliveries

    def athletes(self) -> tuple[Athlete, ...]:
        """Return the athletes of the project, each as of the latest delivery."""
        return tuple({one.athlete.name: one.athlete for one in self.record.deliveries}.values())

    def scale(self, side: Side) -> PlanarScale | None:
        """Return how a stage's pixels become metres, or None."""
        camera = self.camera(side)
        return None if camera is None else camera.scale

    def scales_alike(self, side: Side) -> tuple[tuple[str, PlanarScale], ...]:
        """Return the scales of other deliveries seen from the same view in pictures of one size."""
        own, camera = self._sides[side].delivery, self.camera(side)
        if camera is None:
            return ()
        kind = (camera.view, camera.width_px, camera.height_px)
        return tuple(
            (delivery.name, other.scale)
            for delivery in self.record.deliveries
            for other in delivery.cameras
            if delivery.name != own
            and other.scale is not None
            and kind == (other.view, other.width_px, other.height_px)
        )

    def head_to_heel_m(self, side: Side, metres_per_px: float) -> float | None:
        """Return the height of the head's top above the lower heel in the shown frame, metres."""
        camera = self.camera(side)
        if camera is None:
            return None
        frame = self._sides[side].frame
        head = camera.track("head_top").at(frame)
        heels = [camera.track(key).at(frame) for key in ("left_heel", "right_heel")]
        lowest_px = max((heel.y_px for heel in heels if heel is not None), default=None)
        if head is None or lowest_px is None:
            return None
        return (lowest_px - head.y_px) * metres_per_px

    def with_camera_facts(
        self, camera: Camera, *, view: str, capture_rate_hz: float | None
    ) -> Camera:
        """Return a camera with another view and capture rate."""
        timing = replace(camera.timing, capture_rate_hz=capture_rate_hz)
        return replace(camera, view=view, timing=timing)

    def with_delivery_facts(self, delivery: Delivery, **facts: Any) -> Delivery:
        """Return a delivery with other facts; what was placed and marked is kept."""
        return replace(delivery, **facts)

    def with_camera_name(self, camera: Camera, name: str) -> Camera:
        """Return a camera under another name; under its own where none is given."""
        return replace(camera, name=name or camera.name)

    def lost_clips(self) -> tuple[LostClip, ...]:
        """Return the clips that cannot be found."""
        from deliverylab.core.store.clips import missing_clips

        return tuple(
            LostClip(lost.delivery, lost.camera, lost.reference.path)
            for lost in missing_clips(self.record, self.path)
        )

    def forget_places(self) -> None:
        """Look for the clips anew: they may have been moved meanwhile."""
        self._clip_paths.clear()

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


def are_the_same(one: tuple[object, ...], other: tuple[object, ...]) -> bool:
    """Return whether both hold the very same things: nothing was edited since."""
    return len(one) == len(other) and all(a is b for a, b in zip(one, other, strict=True))
