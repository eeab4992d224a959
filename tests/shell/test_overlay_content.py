"""Another delivery's body over this one's picture."""

from __future__ import annotations

import msgspec
import pytest

from deliverylab.core.model.scale import Point
from deliverylab.core.model.track import Position, Track
from deliverylab.shell import stage_content
from deliverylab.shell.overlay_content import is_turned, laid_over, overlay, view_refusal
from tests.shell.conftest import MARKS_A, MARKS_B, SCALE, camera_of, delivery_of, figure_tracks


def test_a_partner_laid_over_has_its_hips_and_size_in_common():
    own = delivery_of("Bo 1", tracks=figure_tracks([3]), scale=SCALE)
    # the same figure, twice as large and elsewhere in its picture
    large = {
        key: Track.of(
            (frame, Position(2.0 * x - 300.0, 2.0 * y - 80.0)) for frame, (x, y, *_) in track
        )
        for key, track in figure_tracks([3]).items()
    }
    doubled = msgspec.structs.replace(SCALE, length_m=SCALE.length_m / 2.0)
    other = delivery_of("Kim", tracks=large, scale=doubled)
    points = laid_over(own, own.camera(), 3, other, other.camera(), 3)
    expected = stage_content.frame_points(own.camera(), 3)
    for key, place in expected.items():
        assert points[key][:2] == pytest.approx(place[:2])


def test_a_left_hander_laid_over_a_right_hander_is_turned_round():
    own = delivery_of("Bo 1", tracks=figure_tracks([3]), scale=SCALE)
    other = delivery_of("Kim", hand="left", tracks=figure_tracks([3]), scale=SCALE)
    points = laid_over(own, own.camera(), 3, other, other.camera(), 3)
    plain = stage_content.frame_points(own.camera(), 3)
    hips = 0.5 * (plain["left_hip"][0] + plain["right_hip"][0])
    assert points["left_toe"][0] == pytest.approx(2.0 * hips - plain["left_toe"][0])
    assert points["left_toe"][1] == pytest.approx(plain["left_toe"][1])


def test_without_a_scale_or_hips_nothing_is_laid_over():
    own = delivery_of("Bo 1", tracks=figure_tracks([3]), scale=SCALE)
    bare = delivery_of("Kim", tracks=figure_tracks([3]))
    assert laid_over(own, own.camera(), 3, bare, bare.camera(), 3) == {}
    empty = delivery_of("Kim", scale=SCALE)
    assert laid_over(own, own.camera(), 3, empty, empty.camera(), 3) == {}


def moved(tracks, dx, dy):
    return {
        key: Track.of((frame, Position(p.x_px + dx, p.y_px + dy)) for frame, p in track)
        for key, track in tracks.items()
    }


def test_from_where_they_stand_the_drive_ankles_at_leg_lift_fall_together():
    own = delivery_of("Bo 1", marks=MARKS_A, tracks=figure_tracks([24, 60]), scale=SCALE)
    tracks = moved(figure_tracks([48, 90]), 70.0, -30.0)
    other = delivery_of("Kim", marks=MARKS_B, tracks=tracks, scale=SCALE)
    points = laid_over(own, own.camera(), 24, other, other.camera(), 48, "foot")
    ankle = own.camera().track("right_ankle").at(24)
    assert points["right_ankle"][:2] == pytest.approx((ankle.x_px, ankle.y_px))
    later = laid_over(own, own.camera(), 24, other, other.camera(), 90, "foot")
    # the standing foot stays where it is: what moves later moves against it
    assert later["left_knee"][0] == pytest.approx(points["left_knee"][0] + 0.5 * (90 - 48))
    unmarked = delivery_of("Kim", tracks=tracks, scale=SCALE)
    assert laid_over(own, own.camera(), 24, unmarked, unmarked.camera(), 48, "foot") == {}


def test_where_both_rubbers_are_marked_they_fall_together():
    own = delivery_of(
        "Bo 1",
        tracks=figure_tracks([3]),
        scale=msgspec.structs.replace(SCALE, rubber=Point(500, 610)),
    )
    their = msgspec.structs.replace(SCALE, rubber=Point(520, 600))
    other = delivery_of("Kim", tracks=figure_tracks([3]), scale=their)
    points = laid_over(own, own.camera(), 3, other, other.camera(), 3, "foot")
    plain = stage_content.frame_points(other.camera(), 3)
    assert points["head_top"][0] == pytest.approx(plain["head_top"][0] - 20.0)
    assert points["head_top"][1] == pytest.approx(plain["head_top"][1] + 10.0)


@pytest.mark.parametrize(
    ("own", "hand", "their", "other_hand", "turned"),
    [
        ("open-side", "right", "open-side", "right", False),
        ("open-side", "right", "closed-side", "right", True),
        ("open-side", "right", "closed-side", "left", False),
        ("rear", "right", "rear", "left", True),
        ("rear", "right", "front", "right", True),
        ("rear", "right", "front", "left", False),
    ],
)
def test_a_picture_that_runs_the_other_way_is_turned(own, hand, their, other_hand, turned):
    a = delivery_of("Bo 1", hand=hand, cameras=(camera_of(view=own),))
    b = delivery_of("Kim", hand=other_hand, cameras=(camera_of(view=their),))
    assert is_turned(a, a.camera(), b, b.camera()) is turned


def test_other_planes_are_refused_with_the_reason():
    assert view_refusal(camera_of(view="open-side"), camera_of(view="closed-side")) == ""
    assert view_refusal(camera_of(view="rear"), camera_of(view="front")) == ""
    assert view_refusal(camera_of(view="open-side"), camera_of(view="rear")) == (
        "one is seen from the open side, the other from the rear"
    )


def test_the_stages_give_what_is_laid_over(placed_pair):
    placed_pair.go_to_event("foot_contact")
    points, hand = overlay(placed_pair)
    assert hand == "left"
    assert set(points) == set(stage_content.frame_points(placed_pair.camera("model"), 144))
    placed_pair.select("model", None)
    assert overlay(placed_pair) is None
