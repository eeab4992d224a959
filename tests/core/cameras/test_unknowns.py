from __future__ import annotations

import numpy as np

from deliverylab.core.cameras.unknowns import Unknowns

UNKNOWNS = Unknowns(
    sizes_px=((1280, 720),) * 3,
    radials=(0.0, 0.1, 0.0),
    n_deliveries=2,
    point_keys=("a", "b"),
)


def test_every_unknown_has_one_place():
    columns = [
        *(UNKNOWNS.camera_columns(row) for row in range(3)),
        *(UNKNOWNS.offset_columns(row) for row in range(2)),
        *(UNKNOWNS.point_columns(key) for key in "ab"),
    ]
    order = np.concatenate([np.arange(UNKNOWNS.n)[each] for each in columns])
    assert order.tolist() == list(range(UNKNOWNS.n))
    assert UNKNOWNS.n_calibration == 25
    assert UNKNOWNS.delivery_columns(1).tolist() == [*range(21), 23, 24]


def test_cameras_and_points_are_read_from_the_vector():
    vector = np.arange(float(UNKNOWNS.n)) / 50.0
    cameras = UNKNOWNS.cameras(vector)
    assert cameras[1].radial == 0.1
    assert np.allclose(cameras[2].position_m, vector[17:20])
    assert np.allclose(UNKNOWNS.points_m(vector)[1], vector[-3:])
