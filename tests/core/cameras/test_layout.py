from __future__ import annotations

from dataclasses import replace

import pytest

from deliverylab.core.cameras.control import cone, pole, rubber, standard_field
from deliverylab.core.cameras.evidence_field import CameraSetUp
from deliverylab.core.cameras.layout import check_layout
from deliverylab.core.vocabulary.field import BY_KEY

FIELD = BY_KEY["baseball"]
STANDARD = standard_field(FIELD)


def set_ups(points, level=1.0):
    clicks = {point.key: (0.0, 0.0) for point in points}
    known = {"size_px": (1280, 720), "focal_px": 1000.0, "u_level_deg": level, "clicks_px": clicks}
    return (
        CameraSetUp(name="side", azimuth_deg=90.0, **known),
        CameraSetUp(name="rear", azimuth_deg=0.0, **known),
    )


def keys(points, *, level=1.0, body=False, height=False):
    found = check_layout(set_ups(points, level), points, has_body=body, has_height=height)
    return [(each.key, each.severity) for each in found]


def test_the_standard_field_is_enough():
    assert keys(STANDARD, level=float("inf")) == []


@pytest.mark.parametrize(
    ("level", "body", "height", "is_refused"),
    [
        (1.0, True, True, False),
        (1.0, False, True, True),
        (1.0, True, False, True),
        (float("inf"), True, True, True),
    ],
)
def test_the_rubber_alone_needs_body_level_and_height(level, body, height, is_refused):
    found = keys(rubber(FIELD), level=level, body=body, height=height)
    assert (("rubber_only", "refused") in found) == is_refused


def test_poles_at_the_rubber_alone_are_refused():
    foot = replace(cone("foot", 0.3, 0.3, FIELD), kind="pole")
    points = (*rubber(FIELD), *pole("pole", foot, 2.0))
    assert keys(points) == [("poles_at_rubber", "refused")]
    assert keys(points, body=True) == []
    anywhere = (*rubber(FIELD), *pole("pole", None, 2.0))
    assert keys(anywhere) == []


def test_without_a_vertical_only_joints_can_be_shown():
    points = (*rubber(FIELD), cone("one", 2.0, 0.0, FIELD))
    assert keys(points, level=float("inf")) == [("no_vertical", "doubtful")]


def test_points_on_one_line_are_refused_for_the_camera_that_looks_along_it():
    line = tuple(cone(f"c{row}", 0.5 * row, 0.0, FIELD) for row in range(6))
    found = check_layout(set_ups(line), line, has_body=True, has_height=True)
    assert [(each.key, each.where) for each in found] == [("edge_on", "rear")]


def test_a_picture_without_the_rubber_is_named():
    side, rear = set_ups(STANDARD)
    bare = replace(rear, clicks_px={"cone_left": (0.0, 0.0)})
    found = check_layout((side, bare), STANDARD, has_body=True, has_height=True)
    assert [(each.key, each.where) for each in found] == [("no_rubber", "rear")]
