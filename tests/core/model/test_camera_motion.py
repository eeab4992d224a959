"""Places brought from frame to frame by a camera's own motion."""

from __future__ import annotations

import cv2
import msgspec
import numpy as np
import pytest

from deliverylab.core.model.camera_motion import CameraMotion
from deliverylab.core.model.track import Position, Track
from tests.core.tracking.turned import turning

N = 12
TURNED = turning([(0.4 * frame, -0.1 * frame, 0.05 * frame) for frame in range(N)])


def motion(frames=range(N), u_px=0.3):
    """Return the motion of a turning camera, frame 0 being the reference."""
    return CameraMotion(
        reference_frame=0,
        frames=tuple(frames),
        homographies=tuple(tuple(TURNED[frame].ravel()[:8].tolist()) for frame in frames),
        u_px=tuple(u_px for _ in frames),
    )


def track(u_px=None):
    return Track.of((frame, Position(100.0 + 20.0 * frame, 150.0, u_px)) for frame in range(N))


def test_a_steadied_track_lies_where_the_homographies_of_the_frames_take_it():
    placed = track(u_px=0.4)
    found = motion().steadied(placed)
    # general-purpose reference: OpenCV's own perspective transform
    expected = [
        cv2.perspectiveTransform(placed.xy_px[None, [row]], TURNED[row])[0, 0] for row in range(N)
    ]
    assert found.xy_px == pytest.approx(np.array(expected), abs=1e-9)
    assert found.u_px == pytest.approx(0.5)
    assert found.frames.tolist() == list(range(N))
    assert (found.origins == placed.origins).all()


def test_a_default_u_stays_the_default_and_frames_that_do_not_tell_are_left_out():
    found = motion(frames=[0, 3, 5]).steadied(track())
    assert found.frames.tolist() == [0, 3, 5]
    assert np.isnan(found.u_px).all()
    assert found.xy_px[0] == pytest.approx([100.0, 150.0])


def test_a_place_of_the_reference_frame_is_found_in_another_and_back():
    there = motion().in_frame(7, (320.0, 200.0))
    back = motion().steadied(Track.of([(7, Position(*there))])).xy_px[0]
    assert back == pytest.approx([320.0, 200.0], abs=1e-9)
    assert motion().in_frame(0, (320.0, 200.0)) == pytest.approx((320.0, 200.0))
    assert motion(frames=[0, 3]).in_frame(2, (1.0, 1.0)) is None
    assert motion(frames=[0, 3]).in_frame(9, (1.0, 1.0)) is None


def test_it_survives_the_file_and_equals_itself():
    again = msgspec.json.decode(msgspec.json.encode(motion()), type=CameraMotion)
    assert again == motion()
    assert hash(again) == hash(motion())
    assert motion(u_px=0.1) != motion()
