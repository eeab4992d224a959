"""Which positions following starts from, and how large the body is."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from deliverylab.core.errors import NotFoundError
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.core.model.track import Position, Track
from deliverylab.core.tracking.pose_checks import TORSO_OVER_HEIGHT
from deliverylab.core.workflow.tracking_start import (
    anchors_of,
    chosen_landmarks,
    gaps_around,
    torso_px,
    up_to_anchors,
)
from tests.core.workflow.slid import slid

KNEE = "left_knee"


def with_knee(*positions, **camera):
    delivery = slid(tracks={KNEE: Track.of(positions)}, **camera)
    return delivery, delivery.cameras[0]


def at(frame, origin="placed", u_px=None):
    return frame, Position(10.0 + frame, 20.0, u_px, origin)


def test_hand_placed_imported_and_detected_ones_are_started_from():
    delivery, camera = with_knee(
        at(3), at(8, "tracked"), at(12, "imported", 2.0), at(20, "filled"), at(25, "detected", 4.0)
    )
    found = anchors_of(delivery, camera, KNEE, range(40), True)
    assert found.frames.tolist() == [3, 12, 25]
    assert found.xy_px[:, 0].tolist() == [13.0, 22.0, 35.0]
    # a placed one without its own u takes the landmark's default
    assert found.u_px[1:].tolist() == [2.0, 4.0]
    assert found.u_px[0] > 0.0
    assert anchors_of(delivery, camera, KNEE, range(40), False).frames.tolist() == [3, 12]


def test_hidden_repeated_and_trimmed_frames_are_not():
    delivery, camera = with_knee(
        at(1), at(3), at(12), at(25), at(38),
        occluded={KNEE: (12,)}, duplicate_frames=(25,), first_frame=2, last_frame=37,
    )  # fmt: skip
    assert anchors_of(delivery, camera, KNEE, range(2, 38), True).frames.tolist() == [3]


def test_of_a_part_the_nearest_places_beside_it_are_taken_as_well():
    delivery, camera = with_knee(at(2), at(6), at(14), at(30), at(36))
    found = anchors_of(delivery, camera, KNEE, range(10, 20), True)
    assert found.frames.tolist() == [6, 14, 30]
    assert up_to_anchors(camera, range(10, 20), [found]) == list(range(6, 31))


def test_the_gaps_beside_a_corrected_place():
    _, camera = with_knee(at(6), at(14), at(20, "tracked"), at(24, "detected"), at(30))
    assert gaps_around(camera, KNEE, 14) == (6, 24)
    assert gaps_around(camera, KNEE, 14, from_detected=False) == (6, 30)
    assert gaps_around(camera, KNEE, 6) == (0, 14)
    assert gaps_around(camera, KNEE, 30) == (24, 39)


def test_all_that_is_placed_but_the_ball_is_chosen():
    delivery = slid(tracks={KNEE: Track.of([at(3)]), "ball": Track.of([at(4)])})
    assert chosen_landmarks(delivery.cameras[0], None) == [KNEE]
    assert chosen_landmarks(delivery.cameras[0], ["ball", KNEE, "ball"]) == ["ball", KNEE]
    with pytest.raises(NotFoundError):
        chosen_landmarks(delivery.cameras[0], ["tail"])


def test_the_trunk_is_as_long_as_seen_else_as_the_height_says_else_a_guess():
    seen = slid()
    assert torso_px(seen, seen.cameras[0]) == pytest.approx(50.0, rel=0.02)
    scale = PlanarScale(a=Point(0, 0), b=Point(100, 0), length_m=1.0)
    known = replace(
        slid(tracks={}, scale=scale), athlete=Athlete(name="A", hand="left", height_m=1.8)
    )
    assert torso_px(known, known.cameras[0]) == pytest.approx(180.0 * TORSO_OVER_HEIGHT)
    unknown = slid(tracks={})
    assert torso_px(unknown, unknown.cameras[0]) == pytest.approx(54.0)
