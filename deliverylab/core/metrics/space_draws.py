"""Draws of a posture in space, to check the first-order u of what is measured from it."""

from __future__ import annotations

import numpy as np

from deliverylab.core.cameras.body_facts import INDEX
from deliverylab.core.metrics.pose import FloatArray
from deliverylab.core.metrics.remedies import CAMERAS, CLOCKS
from deliverylab.core.metrics.space_results import POSITION_BAND, measured, usual_hz
from deliverylab.core.metrics.space_sight import AFTER, AT, BEFORE, STEP_S, Instant, SpaceSight
from deliverylab.core.metrics.spec import PLACING, MetricSpec, Result
from deliverylab.core.vocabulary.landmarks import key_for_role

DRAWN_IN_SPACE: frozenset[str] = frozenset({PLACING, CAMERAS, CLOCKS})
"""Lines of a budget that are drawn as inputs."""


class SpacePostures:
    """Draws of a metric of one posture or two, measured by several cameras.

    Attributes
    ----------
    moved : frozenset of str
        Events whose instant is drawn, since the courses tell how the points move.
    """

    def __init__(self, spec: MetricSpec, result: Result, sight: SpaceSight) -> None:
        self._spec, self._sight = spec, sight
        self._at: list[Instant] = []
        for event in spec.instants(result.event):
            instant = sight.instant(event)
            if instant is None:
                raise ValueError("a shown posture has marks")
            self._at.append(instant)
        band_hz = POSITION_BAND * usual_hz(spec.landmarks)
        self._seen = [sight.at(instant, band_hz).points for instant in self._at]
        hand = sight.delivery.athlete.hand
        self._columns = [
            [INDEX[key_for_role(role, hand)] for role in (*spec.landmarks_at(row), *spec.optional)]
            for row in range(len(self._at))
        ]
        velocities = [
            (each.points_m[AFTER] - each.points_m[BEFORE]) / (2.0 * STEP_S) for each in self._seen
        ]
        self._velocity_m_s = [np.nan_to_num(each) for each in velocities]
        self.moved: frozenset[str] = frozenset(
            instant.event
            for instant, each, columns in zip(self._at, velocities, self._columns, strict=True)
            if np.isfinite(each[columns]).all()
        )

    def values(self, rng: np.random.Generator, n: int) -> FloatArray:
        """Return n draws of the metric: cameras and clocks once for all its instants."""
        shared = rng.normal(size=(n, len(self._sight.covariance))) @ _root(self._sight.covariance)
        drawn = [
            self._drawn_points(row, shared, rng, n, instant) for row, instant in enumerate(self._at)
        ]
        return measured(self._spec, self._sight, np.stack(drawn, axis=1))

    def _drawn_points(
        self, row: int, shared: FloatArray, rng: np.random.Generator, n: int, instant: Instant
    ) -> FloatArray:
        """Return landmarks at one instant, shape (n, n_landmarks, 3), m."""
        seen = self._seen[row]
        points = np.repeat(seen.points_m[AT][None], n, axis=0)
        for column in self._columns[row]:
            if np.isfinite(seen.points_m[AT, column]).all():
                spread = rng.normal(size=(n, 3)) @ _root(seen.covariance_m2[AT, column])
                points[:, column] += spread + shared @ seen.by_calibration[AT, column].T
        if instant.event in self.moved:
            late_s = instant.u_s * rng.normal(size=(n, 1, 1))
            points += late_s * self._velocity_m_s[row]
        return points


def _root(covariance: FloatArray) -> FloatArray:
    """Return the symmetric root of a covariance: it turns draws of variance 1 into its own."""
    sizes, directions = np.linalg.eigh(covariance)
    root: FloatArray = (directions * np.sqrt(np.maximum(sizes, 0.0))) @ directions.T
    return root
