"""A drawn person, and a stand-in for the pose network that finds it by its colour."""

from __future__ import annotations

import cv2
import numpy as np

from deliverylab.core.tracking.pose import N_POINTS, BodyPoints

SIZE_PX = (320, 240)
TOP, HEIGHT = -1.6, 3.4
"""Of the drawn person, from the mid-hip downward, in torso lengths."""

# Right of the middle for the left side, as of somebody who faces the camera; in torso lengths.
_LEFT = {
    7: (0.10, -1.45), 11: (0.35, -1.0), 13: (0.55, -0.5), 15: (0.60, 0.0), 17: (0.58, 0.12),
    19: (0.62, 0.12), 21: (0.55, 0.08), 23: (0.20, 0.0), 25: (0.22, 0.82), 27: (0.22, 1.68),
    29: (0.10, 1.75), 31: (0.62, 1.75),
}  # fmt: skip


def template():
    """Return the 33 points in torso lengths from the mid-hip."""
    points = np.tile([0.0, -1.4], (N_POINTS, 1))
    for number, (x, y) in _LEFT.items():
        points[number] = x, y
        points[number + 1] = -x, y
    return points


def body(x_px, y_px, torso_px):
    """Return the 33 points of a person whose mid-hip is there, px."""
    return np.array([x_px, y_px]) + torso_px * template()


def drawn(*people, size_px=SIZE_PX):
    """Return a picture of people, each (x of the mid-hip, y, torso), as red boxes."""
    width, height = size_px
    picture = np.full((height, width, 3), 40, dtype=np.uint8)
    for x_px, y_px, torso_px in people:
        top, bottom = y_px + TOP * torso_px, y_px + (TOP + HEIGHT) * torso_px
        left, right = x_px - 0.7 * torso_px, x_px + 0.7 * torso_px
        rows, columns = (
            slice(max(0, round(top)), round(bottom) + 1),
            slice(max(0, round(left)), round(right) + 1),
        )
        picture[rows, columns] = 220, 30, 30
    return picture


class RedBoxNetwork:
    """Say that the red box in the input is a person; count how often it was asked."""

    def __init__(self):
        self.n_runs = 0

    def run(self, cut):
        self.n_runs += 1
        red = self._one_box((cut[..., 0] > 128) & (cut[..., 1] < 100))
        peaks = np.full(N_POINTS, 0.9)
        # a speck, or a box cut by the input's edge, is nobody
        if red.mean() < 0.02 or red[0].any() or red[-1].any():
            return BodyPoints(np.zeros((35, 2)), peaks, 0.0)
        rows, columns = np.flatnonzero(red.any(axis=1)), np.flatnonzero(red.any(axis=0))
        top, bottom = rows[0], rows[-1] + 1.0
        torso = (bottom - top) / HEIGHT
        middle = np.array([0.5 * (columns[0] + columns[-1] + 1.0), top - TOP * torso])
        ahead = [middle, middle - [0.0, 2.0 * torso]]
        return BodyPoints(np.vstack([middle + torso * template(), ahead]), peaks, 0.95)

    @staticmethod
    def _one_box(red):
        """Keep the box whose middle is nearest to the input's."""
        n, labels, _, middles = cv2.connectedComponentsWithStats(red.astype(np.uint8))
        if n < 2:
            return red
        return labels == 1 + np.argmin(np.hypot(*(middles[1:] - 128.0).T))
