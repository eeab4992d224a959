"""Pictures of the core as pictures of Qt."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PySide6.QtGui import QImage


def rgb_image(picture: NDArray[np.uint8]) -> QImage:
    """Return a picture, shape (h, w, 3) RGB, as one that keeps its own pixels."""
    height, width = picture.shape[:2]
    # Qt neither copies the bytes nor holds them: the image goes before they do
    rows = np.ascontiguousarray(picture)
    return QImage(rows.data, width, height, 3 * width, QImage.Format.Format_RGB888).copy()
