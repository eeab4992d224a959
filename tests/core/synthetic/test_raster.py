from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.synthetic.camera import camera_for_view
from deliverylab.core.synthetic.raster import Buffer, Cone, Ellipsoid, Limb

CAMERA = camera_for_view(
    "open-side",
    "right",
    distance_m=10.0,
    focal_px=1000.0,
    size_px=(201, 201),
    target_m=(0.0, 0.0),
    height_m=1.0,
)
MIDDLE = np.array([0.0, 0.0, 1.0])


def _drawn(*solids):
    buffer = Buffer(CAMERA, (0, 0, 201, 201))
    for solid in solids:
        buffer.draw(solid)
    return buffer


@pytest.mark.parametrize(
    "ball", [Limb(MIDDLE, MIDDLE, 0.3, 0.3, 1), Ellipsoid(MIDDLE, 0.3 * np.eye(3), 1)]
)
def test_ball_is_a_disc_of_its_size_facing_the_camera(ball):
    buffer = _drawn(ball)
    # 0.3 m at 10 m and 1000 px: radius 30 px
    assert np.sum(buffer.paint == 1) == pytest.approx(np.pi * 30**2, rel=0.02)
    assert buffer.depth[100, 100] == pytest.approx(9.7, abs=1e-4)
    assert buffer.normal[100, 100] == pytest.approx([0.0, 0.0, -1.0], abs=1e-3)
    assert np.isinf(buffer.depth[0, 0])


def test_limb_and_ellipsoid_agree_on_depth_and_light_of_a_leaning_rod():
    lean = np.array([0.4, 0.3, 0.2])
    rod = _drawn(Limb(MIDDLE - lean, MIDDLE + lean, 0.1, 0.1, 0))
    along = lean / np.linalg.norm(lean)
    side = np.cross(along, [0.0, 0.0, 1.0])
    side /= np.linalg.norm(side)
    axes = np.stack([0.1 * side, 0.1 * np.cross(along, side), 40.0 * along])
    tube = _drawn(Ellipsoid(MIDDLE, axes, 0))
    here = (slice(96, 105), slice(96, 105))
    # the limb is drawn as if its lines of sight were parallel: 2 px of 1000 at 10 m are 2 cm wide
    assert rod.depth[here] == pytest.approx(tube.depth[here], abs=0.004)
    assert rod.normal[here] == pytest.approx(tube.normal[here], abs=0.03)


def test_cone_has_its_foot_and_tip_where_they_project():
    foot = MIDDLE - np.array([0.0, 0.0, 0.8])
    cone = Cone(foot, 0.3, 0.9, 0, 1, 0.5)
    buffer = _drawn(cone)
    rows, columns = np.nonzero(buffer.paint >= 0)
    tip, middle = CAMERA.project([cone.tip_m, foot])
    # a tip of less than half a pixel's width shows in the next row or two
    assert rows.min() == pytest.approx(tip[1], abs=2.0)
    assert columns[rows == rows.min()].mean() == pytest.approx(tip[0], abs=1.0)
    # its outline is widest at the height of the foot's middle: what is clicked
    widths = [np.ptp(columns[rows == row]) if np.any(rows == row) else 0 for row in range(201)]
    assert max(widths) == pytest.approx(60.0, abs=2.0)
    assert np.argmax(widths) == pytest.approx(middle[1], abs=2.0)
    light, dark = (columns[buffer.paint[rows, columns] == paint].size for paint in (1, 0))
    assert light / (light + dark) == pytest.approx(0.25, abs=0.03)
    across = buffer.normal[int(middle[1]) - 10, 100]
    # its side leans by atan(0.3 / 0.9); down is the second axis
    assert across == pytest.approx([0.0, -0.316, -0.949], abs=0.01)


def test_nearer_solid_hides_the_farther_in_any_order():
    near = Limb(MIDDLE - [0, 1, 0], MIDDLE - [0, 1, 0], 0.1, 0.1, 2)
    far = Ellipsoid(MIDDLE, 0.3 * np.eye(3), 1)
    for solids in ((near, far), (far, near)):
        buffer = _drawn(*solids)
        assert buffer.paint[100, 100] == 2
        assert buffer.paint[100, 125] == 1


def test_paint_changes_along_a_limb_and_up_an_ellipsoid():
    up = np.array([0.0, 0.0, 0.5])
    limb = _drawn(Limb(MIDDLE - up, MIDDLE + up, 0.1, 0.1, 1, 2, 0.5))
    ball = _drawn(Ellipsoid(MIDDLE, 0.3 * np.eye(3), 1, 2, 0.0))
    for buffer in (limb, ball):
        assert buffer.paint[110, 100] == 1
        assert buffer.paint[90, 100] == 2


def test_what_lies_outside_or_is_nan_leaves_the_buffer_empty():
    away = MIDDLE + np.array([5.0, 0.0, 0.0])
    lost = np.full(3, np.nan)
    buffer = _drawn(
        Limb(away, away, 0.1, 0.1, 1),
        Ellipsoid(away, 0.1 * np.eye(3), 1),
        Limb(lost, lost, 0.1, 0.1, 1),
        Ellipsoid(lost, 0.1 * np.eye(3), 1),
        Cone(away, 0.1, 0.2, 1),
        Cone(lost, 0.1, 0.2, 1),
    )
    assert np.all(buffer.paint == -1)
