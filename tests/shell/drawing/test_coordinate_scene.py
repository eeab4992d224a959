from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.model.track import ORIGINS
from deliverylab.shell.drawing.coordinate_scene import ALONE_S, LEAST_RANGE_PX, CoordinateScene


def scene_of(frames, across, *, spread=2.0, origins="placed", **fields):
    """Return a scene at 100 frames a second whose second coordinate stands still."""
    n = len(frames)
    names = [origins] * n if isinstance(origins, str) else origins
    return CoordinateScene(
        landmark="left_wrist",
        name="Glove wrist",
        hue="glove",
        frames=np.array(frames, dtype=np.int64),
        places=np.array(frames) / 100.0,
        values={"across": np.array(across, dtype=float), "up": np.full(n, 50.0)},
        spread=np.full(n, float(spread)),
        origins=np.array([ORIGINS.index(name) for name in names], dtype=np.uint8),
        **fields,
    )


def test_the_line_is_broken_where_nobody_knows_the_way():
    scene = scene_of([1, 2, 4, 7], [10, 11, 13, 16])
    places, values = scene.line("across")
    np.testing.assert_array_equal(places, [0.01, 0.02, 0.04, np.nan, 0.07])
    np.testing.assert_array_equal(values, [10, 11, 13, np.nan, 16])


def test_the_band_goes_round_each_stretch_and_a_lone_position_has_a_width():
    scene = scene_of([1, 2, 7], [10, 11, 16], spread=3.0)
    places, values = scene.band("across")
    np.testing.assert_allclose(places[:4], [0.01, 0.02, 0.02, 0.01])
    np.testing.assert_allclose(values[:4], [13, 14, 8, 7])
    assert np.isnan(places[4])
    assert np.isnan(values[[4, 9]]).all()
    np.testing.assert_allclose(places[5:7], [0.07 - ALONE_S, 0.07 + ALONE_S])
    np.testing.assert_allclose(values[5:9], [19, 19, 13, 13])


def test_the_range_is_that_of_the_part_that_is_shown():
    scene = scene_of([1, 2, 3, 90], [10, 12, 20, 500], spread=2.0)
    assert scene.value_range("across", 0.0, 0.05) == pytest.approx((8.0, 22.0))
    assert scene.value_range("across", 0.0, 1.0) == pytest.approx((8.0, 502.0))
    # where none is shown, all count: the curve comes back where it was
    assert scene.value_range("across", 0.4, 0.5) == pytest.approx((8.0, 502.0))


def test_what_hardly_moves_is_not_blown_up():
    bottom, top = scene_of([1, 2], [10, 10], spread=0.1).value_range("across", 0.0, 1.0)
    assert (bottom + top) / 2.0 == pytest.approx(10.0)
    assert top - bottom == pytest.approx(LEAST_RANGE_PX)


def test_rows_are_found_by_frame_and_by_origin():
    scene = scene_of(
        [1, 2, 7], [1, 2, 3], origins=["placed", "tracked", "tracked"], looks={7: "jump", 8: "lost"}
    )
    assert [scene.row_of(frame) for frame in (1, 7, 3, 99)] == [0, 2, None, None]
    assert scene.rows_of("tracked").tolist() == [1, 2]
    assert scene.origins_shown == ("placed", "tracked")
    assert scene.looked_rows().tolist() == [2]


def test_without_positions_there_is_nothing_and_still_a_range():
    empty = CoordinateScene()
    assert len(empty.line("up")[0]) == 0
    assert np.isnan(empty.band("up")).all()
    assert empty.value_range("up", 0.0, 1.0) == (0.0, 1.0)
    assert empty.origins_shown == ()
