"""Pictures of a printed patch that slides over a printed ground along a known path."""

from __future__ import annotations

import cv2
import numpy as np
from scipy import ndimage

SIZE_PX = 100.0
"""What the patch's limb would have as a torso."""
WIDTH, HEIGHT = 480, 360
PATCH_PX = 90


def printed(shape, seed, *, contrast=45.0):
    """Return smooth noise that windows can hold on to, float32."""
    noise = np.random.default_rng(seed).standard_normal(shape).astype(np.float32)
    noise = cv2.GaussianBlur(noise, (0, 0), 2.0)
    return 128.0 + contrast * noise / noise.std()


def sliding(path_px, *, noise_levels=0.0, seed=1):
    """Return a function from frame to grey picture; the patch's middle goes along the path, (n, 2)."""
    ground, patch = printed((HEIGHT, WIDTH), seed), printed((PATCH_PX, PATCH_PX), seed + 1)
    half = (PATCH_PX - 1) / 2.0

    def picture(frame):
        x_px, y_px = path_px[frame]
        left, top = int(x_px - half), int(y_px - half)
        # OpenCV moves by whole 32nds of a pixel
        by = (y_px - half - top, x_px - half - left)
        laid = ndimage.shift(np.pad(patch, 1, mode="edge"), by, order=3, mode="nearest")
        covers = ndimage.shift(np.pad(np.ones_like(patch), 1), by, order=1)
        shown = ground.copy()
        part = np.s_[top - 1 : top + PATCH_PX + 1, left - 1 : left + PATCH_PX + 1]
        shown[part] = covers * laid + (1.0 - covers) * shown[part]
        grain = np.random.default_rng(seed * 1000 + frame).normal(0.0, 1.0, shown.shape)
        return np.clip(shown + noise_levels * grain, 0, 255).astype(np.uint8)

    return picture


def curved(n, *, x_px=(190.0, 240.0), rise_px=15.0):
    """Return a path that goes across and up and down once, shape (n, 2), px."""
    share = np.linspace(0.0, 1.0, n)
    x = x_px[0] + (x_px[1] - x_px[0]) * share
    return np.stack((x, 190.0 - rise_px * np.sin(np.pi * share)), axis=-1)
