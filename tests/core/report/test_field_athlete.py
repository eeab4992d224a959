from __future__ import annotations

import cv2
import numpy as np
import pytest

from deliverylab.core.report.field_athlete import drawn_athletes
from deliverylab.core.report.field_layout import SIZE_PX, field_layout
from deliverylab.core.synthetic.figure import Motion
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.vocabulary.field import FIELDS


def _clear(png):
    picture = cv2.imdecode(np.frombuffer(png, np.uint8), cv2.IMREAD_UNCHANGED)
    assert picture.shape[2] == 4
    return picture[..., 3]


@pytest.mark.parametrize("size", FIELDS, ids=lambda size: size.key)
@pytest.mark.parametrize("view", ["open-side", "rear"])
def test_two_figures_inside_the_picture(size, view):
    begins, ends = drawn_athletes(field_layout(size.key, "right"), view)
    for figure in (begins, ends):
        assert 0.25 * SIZE_PX[0] < figure.left < figure.right < 0.75 * SIZE_PX[0]
        assert 0.0 < figure.top < figure.bottom < SIZE_PX[1]
    # the first is faint
    assert _clear(begins.png).max() < 128
    assert _clear(ends.png).max() == 255


def test_the_cut_out_lies_where_the_camera_sees_the_body():
    layout = field_layout("baseball", "left")
    spec = DeliverySpec(hand="left", height_m=1.85)
    motion = Motion(spec)
    points = motion.positions_at([spec.key_times()["foot_contact"]])
    seen = layout.camera("open-side").project(
        [place[0] for key, place in points.items() if key != "ball"]
    )
    figure = drawn_athletes(layout, "open-side")[1]
    # a body is thicker than its landmarks by a hand, a shoe, a glove: at most 0.25 m
    room_px = 0.25 * layout.camera("open-side").focal_px / 5.0
    edges = np.array([[figure.left, figure.top], [figure.right, figure.bottom]])
    ends = np.array([seen.min(axis=0), seen.max(axis=0)])
    assert np.all(np.abs(edges - ends) < room_px)
    assert np.all(edges[0] < ends[0])
    assert np.all(edges[1] > ends[1])
    # and is opaque at the middle of the hips
    alpha = _clear(figure.png)
    places = dict(zip([key for key in points if key != "ball"], seen, strict=True))
    x, y = 0.5 * (places["left_hip"] + places["right_hip"])
    row = int((y - figure.top) / (figure.bottom - figure.top) * alpha.shape[0])
    column = int((x - figure.left) / (figure.right - figure.left) * alpha.shape[1])
    assert alpha[row, column] == 255


def test_a_left_hander_is_the_mirror_image():
    right = drawn_athletes(field_layout("baseball", "right"), "rear")[1]
    left = drawn_athletes(field_layout("baseball", "left"), "rear")[1]
    middle = SIZE_PX[0] - 1.0
    assert (left.left, left.right) == pytest.approx(
        (middle - right.right, middle - right.left), abs=3
    )
    assert left.top == pytest.approx(right.top, abs=2)


def test_on_a_flat_field_the_figure_stands_at_either_end_of_the_stride():
    begins, ends = drawn_athletes(field_layout("softball-43", "right"), "open-side")
    assert _clear(begins.png).shape == pytest.approx(_clear(ends.png).shape, abs=20)
    assert ends.left - begins.left > 200
