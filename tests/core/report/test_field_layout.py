from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.cameras.pinhole import camera_facts
from deliverylab.core.errors import InputValueError, NotFoundError
from deliverylab.core.report.field_layout import (
    FARTHEST_M,
    NEAREST_M,
    SIZE_PX,
    TARGET_X_M,
    ZOOM_FROM_M,
    field_layout,
    paced,
    taped,
)
from deliverylab.core.synthetic import field_filming
from deliverylab.core.synthetic.figure import build_delivery
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.units import parse_length_m
from deliverylab.core.vocabulary.field import FIELDS


@pytest.mark.parametrize("hand", ["left", "right"])
@pytest.mark.parametrize("view", ["open-side", "rear"])
def test_phones_stand_square_to_their_views(hand, view):
    camera = field_layout("baseball", hand, 7.0, 11.0).camera(view)
    facts = camera_facts(camera, view, hand, (TARGET_X_M, 0.0))
    assert facts.distance_m == pytest.approx({"open-side": 7.0, "rear": 11.0}[view])
    assert (facts.yaw_deg, facts.pitch_deg, facts.roll_deg) == pytest.approx((0, 0, 0), abs=1e-9)


def test_the_side_phone_changes_sides_with_the_hand():
    # Y is to the pitcher's left; third base is on the right of one who faces the plate
    assert field_layout("baseball", "right").camera("open-side").position_m[1] == pytest.approx(-6)
    assert field_layout("baseball", "left").camera("open-side").position_m[1] == pytest.approx(6)


def test_distances_count_from_where_the_study_of_cameras_counts_them():
    assert pytest.approx(field_filming.TARGET_M.tolist()) == [TARGET_X_M, 0.0]
    assert field_layout("baseball", "right", 6.0, 6.0).behind_rubber_m == pytest.approx(5.15)


@pytest.mark.parametrize("hand", ["left", "right"])
@pytest.mark.parametrize("distance_m", [NEAREST_M, 6.0, ZOOM_FROM_M, 11.0, FARTHEST_M])
def test_a_delivery_stays_in_the_middle_half(hand, distance_m):
    truth = build_delivery(DeliverySpec(hand=hand, height_m=1.85), rate_hz=60.0)
    truth_m = np.stack([truth.positions_m[key] for key in truth.positions_m if key != "ball"])
    layout = field_layout("baseball", hand, distance_m, distance_m)
    for view in ("open-side", "rear"):
        seen = layout.camera(view).project(truth_m)
        share = (seen[..., 0] + 0.5) / SIZE_PX[0]
        assert 0.25 < share.min() < share.max() < 0.75
        assert 0.0 < seen[..., 1].min() < seen[..., 1].max() < SIZE_PX[1]


@pytest.mark.parametrize("size", FIELDS, ids=lambda size: size.key)
def test_rubber_and_cones_are_in_both_pictures(size):
    layout = field_layout(size.key, "right")
    for view in ("open-side", "rear"):
        seen = layout.camera(view).project([cone.place_m for cone in layout.cones])
        assert np.all((seen > 0) & (seen < np.array(SIZE_PX)))
    assert layout.lens_above_field_m == pytest.approx(1.2 + size.rubber_height_m)


@pytest.mark.parametrize(("distance_m", "zoom"), [(5, 1), (6, 1), (8, 1), (9, 2), (11, 2)])
def test_zoom_follows_distance(distance_m, zoom):
    layout = field_layout("baseball", "right", distance_m, 6.0)
    assert (layout.zoom("open-side"), layout.zoom("rear")) == (zoom, 1)
    once = field_layout("baseball", "right").camera("open-side").focal_px
    assert layout.camera("open-side").focal_px == pytest.approx(zoom * once)


@pytest.mark.parametrize(
    ("length_m", "metric", "imperial"),
    [
        (2.0, "2.00 m", "6 ft 6¾ in"),
        (0.8, "0.80 m", "2 ft 7½ in"),
        (1.6, "1.60 m", "5 ft 3 in"),
        (18.4404, "18.44 m", "60 ft 6 in"),
        (2.1541, "2.15 m", "7 ft 0¾ in"),
        (13.1064, "13.11 m", "43 ft"),
        (0.0254, "0.03 m", "1 in"),
        (0.0, "0.00 m", "0 in"),
    ],
)
def test_taped_lengths(length_m, metric, imperial):
    assert taped(length_m, "metric").replace("\u00a0", " ") == metric
    assert taped(length_m, "imperial").replace("\u00a0", " ") == imperial


@pytest.mark.parametrize("length_m", np.linspace(0.31, 20.0, 40))
def test_what_is_taped_by_inches_is_right_to_an_eighth(length_m):
    words = taped(length_m, "imperial").replace("\u00a0", " ")
    for sign, digits in (("¼", ".25"), ("½", ".5"), ("¾", ".75")):
        words = words.replace(sign, digits)
    assert parse_length_m(words) == pytest.approx(length_m, abs=0.0254 / 8 + 1e-9)


@pytest.mark.parametrize(
    ("length_m", "metric", "imperial"),
    [(6.0, "6 m", "19 ft 6 in"), (11.0, "11 m", "36 ft"), (5.15, "5.2 m", "17 ft")],
)
def test_paced_lengths(length_m, metric, imperial):
    assert paced(length_m, "metric").replace("\u00a0", " ") == metric
    assert paced(length_m, "imperial").replace("\u00a0", " ") == imperial


def test_what_cannot_be_laid_out_is_said():
    with pytest.raises(NotFoundError, match="field size"):
        field_layout("cricket", "right")
    with pytest.raises(InputValueError, match="hand"):
        field_layout("baseball", "both")
    for distances in ((4.0, 6.0), (6.0, 16.0), (float("nan"), 6.0)):
        with pytest.raises(InputValueError, match="near or so far"):
            field_layout("baseball", "right", *distances)
