"""What is true of a figure's delivery, by the metrics' own definitions."""

from __future__ import annotations

import math
from functools import cached_property

import numpy as np

from deliverylab.core.metrics.body_mass import mass_centre
from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.pose import FloatArray, Pose
from deliverylab.core.metrics.spec import MetricSpec
from deliverylab.core.metrics.support import mean_support
from deliverylab.core.synthetic.figure import SyntheticDelivery
from deliverylab.core.vocabulary.landmarks import ROLE_KEYS, key_for_role

N_PEAK_TIMES = 300
SPEED_STEP_S = 1e-3
BALL_STEP_S = 1e-4
TOP_STEP_S = 2.5e-4


class Truth:
    """What is true of a delivery, by the metrics' own definitions, in three dimensions.

    Parameters
    ----------
    synthetic : SyntheticDelivery
        The figure.
    """

    def __init__(self, synthetic: SyntheticDelivery) -> None:
        self.synthetic = synthetic
        self.events = synthetic.events

    def pose(self, times_s: float | FloatArray) -> Pose:
        """Return the true postures, mirrored for a left-hander, at instants of shape (n,), s."""
        spec = self.synthetic.spec
        placed = self.synthetic.motion.positions_at(np.atleast_1d(times_s))
        mirror = np.array([1.0, 1.0 if spec.hand == "right" else -1.0, 1.0])
        points = {role: placed[key_for_role(role, spec.hand)] * mirror for role in ROLE_KEYS}
        return Pose(points, np.array(spec.height_m), {"male": 0.0, "female": 1.0}[spec.sex])

    def forward_speed_m_s(self, times_s: FloatArray) -> FloatArray:
        """Return the true forward speed of the centre of mass, shape (n,), m/s."""
        n = len(times_s)
        both = np.concatenate((times_s + SPEED_STEP_S, times_s - SPEED_STEP_S))
        forward_m = mass_centre(self.pose(both))[:, 0]
        speed: FloatArray = (forward_m[:n] - forward_m[n:]) / (2.0 * SPEED_STEP_S)
        return speed

    def value(self, spec: MetricSpec, event: str) -> float:
        """Return a metric's true value; NaN for a kind that has no truth in the figure.

        Parameters
        ----------
        spec : MetricSpec
            The metric.
        event : str
            Event of the result.
        """
        if spec.kind == "interval":
            start, end = (self.events[each] for each in spec.events)
            return end - start
        if spec.kind == "speed":
            return self._event_speeds[event]
        if spec.kind == "peak_speed":
            start, end = (self.events[each] for each in spec.events)
            return float(np.max(self.forward_speed_m_s(np.linspace(start, end, N_PEAK_TIMES))))
        if spec.kind in {"peak_time", "kept_speed", "support_force"}:
            return self._momentum(spec)
        if spec.kind in {"extreme", "peak_rate", "peak_rate_time"}:
            return self._top(spec)
        if spec.kind == "ball":
            return self._ball[spec.key]
        if spec.kind in {"at_event", "between_events"} and spec.measure is not None:
            return float(spec.measure(*(self._at_events[each] for each in spec.instants(event)))[0])
        return math.nan

    def _momentum(self, spec: MetricSpec) -> float:
        """Return what is made of speeds of the centre of mass."""
        if spec.kind == "support_force":
            return self._support_deg(*spec.events)
        if spec.kind == "kept_speed" and spec.events[0] == "foot_contact":
            return 100.0 * self._event_speeds["release"] / self._event_speeds["foot_contact"]
        grid = np.linspace(self.events["leg_lift"], self.events["foot_contact"], N_PEAK_TIMES)
        course = self.forward_speed_m_s(grid)
        if spec.kind == "peak_time":
            return self.events["foot_contact"] - float(grid[np.argmax(course)])
        return 100.0 * self._event_speeds["release"] / float(np.max(course))

    def _top(self, spec: MetricSpec) -> float:
        """Return the largest value of a measure between its events, its largest rate, or when that is."""
        of = BY_KEY[spec.peak_of] if spec.peak_of else spec
        if of.measure is None:
            return math.nan
        start_s, end_s = self.events[of.events[0]], self.events[of.events[-1]]
        times_s = np.linspace(start_s, end_s, math.ceil((end_s - start_s) / TOP_STEP_S) + 1)
        course = np.unwrap(of.measure(self.pose(times_s)), period=360.0)
        if of.kind == "peak_rate":
            course = np.gradient(course, times_s) * (-1.0 if of.is_falling else 1.0)
        if spec.kind != "peak_rate_time":
            return float(np.max(course))
        at_s = float(times_s[np.argmax(course)])
        first_s, last_s = (self.events[event] for event in spec.events)
        if spec.unit == "s":
            return last_s - at_s
        return 100.0 * (at_s - first_s) / (last_s - first_s)

    def _support_deg(self, start: str, end: str) -> float:
        times_s = np.array([self.events[start], self.events[end]])
        ahead, behind = (
            mass_centre(self.pose(times_s + step)) for step in (SPEED_STEP_S, -SPEED_STEP_S)
        )
        velocity = ((ahead - behind) / (2.0 * SPEED_STEP_S))[:, ::2].tolist()
        took_s = float(times_s[1] - times_s[0])
        return mean_support(tuple(velocity[0]), tuple(velocity[1]), took_s).angle_deg

    @cached_property
    def _ball(self) -> dict[str, float]:
        """The ball as it leaves the hand, by metric; the figure's ball flies without drag."""
        just_after_s = self.events["release"] + BALL_STEP_S * np.array([1.0, 2.0])
        near_m, far_m = self.synthetic.motion.positions_at(just_after_s)["ball"]
        velocity = (far_m - near_m) / BALL_STEP_S
        foot = self._at_events["leg_lift"].points
        ground_m = float((foot["drive_heel"] + foot["drive_toe"])[0, 2]) / 2.0
        return {
            "ball_speed_measured": float(np.linalg.norm(velocity)),
            "ball_release_height": float(near_m[2]) - ground_m,
            "ball_launch_angle": math.degrees(math.atan2(velocity[2], math.hypot(*velocity[:2]))),
        }

    @cached_property
    def _at_events(self) -> dict[str, Pose]:
        together = self.pose(np.array(list(self.events.values())))
        return {
            event: Pose(
                {role: xyz_m[row : row + 1] for role, xyz_m in together.points.items()},
                together.height_m,
                together.female_share,
            )
            for row, event in enumerate(self.events)
        }

    @cached_property
    def _event_speeds(self) -> dict[str, float]:
        speeds = self.forward_speed_m_s(np.array(list(self.events.values())))
        return dict(zip(self.events, speeds.tolist(), strict=True))
