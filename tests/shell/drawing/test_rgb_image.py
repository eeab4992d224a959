from __future__ import annotations

import numpy as np
import pytest

from deliverylab.shell.drawing.rgb_image import rgb_image


@pytest.mark.parametrize("step", [1, 2])
def test_every_pixel_is_where_it_was_and_stays_when_the_picture_is_written_over(step):
    rng = np.random.default_rng(1)
    picture = rng.integers(0, 256, (4, 7 * step, 3), dtype=np.uint8)[:, ::step]
    expected = picture.copy()
    image = rgb_image(picture)
    picture[:] = 0
    assert (image.width(), image.height()) == (7, 4)
    for y in range(4):
        for x in range(7):
            assert image.pixelColor(x, y).getRgb()[:3] == tuple(expected[y, x])
