"""Pictures of a printed wall from a camera that turns about its lens, by known homographies."""

from __future__ import annotations

import cv2
import numpy as np

from tests.core.tracking.sliding import HEIGHT, WIDTH, printed

FOCAL_PX = 600.0
MARGIN_PX = 260
PATCH_PX = 90


def turning(angles_deg):
    """Return homographies K R K^-1 from each frame to the wall, for pan, tilt and roll, (n, 3)."""
    camera = np.array([[FOCAL_PX, 0, WIDTH / 2], [0, FOCAL_PX, HEIGHT / 2], [0, 0, 1.0]])
    turned = [cv2.Rodrigues(np.radians([tilt, pan, roll]))[0] for pan, tilt, roll in angles_deg]
    found = np.array([camera @ rotation @ np.linalg.inv(camera) for rotation in turned])
    return found / found[:, 2:, 2:]


def filmed(homographies, *, noise_levels=2.0, seed=1, contrast=45.0, patch_xy_px=None):
    """Return a function from frame to picture; a printed patch goes through the picture in front."""
    shape = (HEIGHT + 2 * MARGIN_PX, WIDTH + 2 * MARGIN_PX)
    wall, patch = printed(shape, seed, contrast=contrast), printed((PATCH_PX, PATCH_PX), seed + 1)
    # drawn four times as large and reduced: OpenCV samples at whole 32nds of a pixel
    to_wall = np.array([[1, 0, MARGIN_PX], [0, 1, MARGIN_PX], [0, 0, 1.0]])
    finer = np.array([[0.25, 0, -0.375], [0, 0.25, -0.375], [0, 0, 1.0]])

    def picture(frame):
        fine = cv2.warpPerspective(
            wall, to_wall @ homographies[frame] @ finer, (4 * WIDTH, 4 * HEIGHT),
            flags=cv2.INTER_CUBIC | cv2.WARP_INVERSE_MAP, borderMode=cv2.BORDER_REFLECT,
        )  # fmt: skip
        shown = cv2.resize(fine, (WIDTH, HEIGHT), interpolation=cv2.INTER_AREA)
        if patch_xy_px is not None:
            left, top = (int(value) for value in patch_xy_px[frame])
            shown[top : top + PATCH_PX, left : left + PATCH_PX] = patch
        grain = np.random.default_rng(seed * 1000 + frame).normal(0.0, 1.0, shown.shape)
        return np.clip(shown + noise_levels * grain, 0, 255).astype(np.uint8)

    return picture


def mapped(homography, xy_px):
    """Return points carried over by a homography, (m, 2)."""
    return cv2.perspectiveTransform(np.asarray(xy_px, float)[None], homography)[0]
