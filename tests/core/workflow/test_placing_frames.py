from __future__ import annotations

from itertools import pairwise

from deliverylab.core.model.delivery import Camera, Mark
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Position, Track
from deliverylab.core.workflow.placing_frames import helping_frames, least_sure, spread_frames


def _camera(tracks=None, *, marks=None, **parts):
    return Camera(
        name="main",
        view="open-side",
        width_px=640,
        height_px=480,
        timing=Timing(n_frames=101, stored_rate="100"),
        marks={key: Mark(time_s=time_s) for key, time_s in (marks or {}).items()},
        tracks=tracks or {},
        **parts,
    )


def _track(frames, origin="placed", u_px=None):
    return Track.of((frame, Position(1.0, 2.0, u_px, origin)) for frame in frames)


def test_frames_are_spread_from_end_to_end():
    assert spread_frames(_camera(), 3) == (0, 50, 100)
    assert spread_frames(_camera(first_frame=10, last_frame=12), 10) == (10, 11, 12)


def test_the_ends_and_then_the_middles_of_the_gaps_help_most():
    found = helping_frames(_camera(), ["neck"], [40])
    assert len(found) == 9
    assert found[:4] == (100, 0, 70, 20)
    gaps = sorted({*found, 40})
    assert max(b - a for a, b in pairwise(gaps)) <= 20


def test_only_the_frames_that_speeds_take_in_count():
    marks = {"leg_lift": 0.3, "release": 0.6}
    found = helping_frames(_camera(marks=marks), ["neck"], [30, 60])
    assert min(found) == 20
    assert max(found) == 70


def test_what_is_followed_from_one_side_alone_comes_before_a_longer_gap_between():
    marks = {"leg_lift": 0.3, "release": 0.9}
    found = helping_frames(_camera(marks=marks), ["neck"], [30, 90])
    assert set(found[:2]) == {20, 100}
    assert found[2] == 60


def test_frames_that_somebody_began_are_kept():
    camera = _camera({"neck": _track([33])})
    assert 33 in helping_frames(camera, ["neck", "head_top"], [0, 100])
    # and with them no others than before
    first = helping_frames(_camera(), ["neck", "head_top"], [0, 100])
    begun = _camera({"neck": _track(first[:1])})
    assert helping_frames(begun, ["neck", "head_top"], [0, 100]) == first


def test_where_tracking_lost_landmarks_the_middle_of_the_stretch_helps_most():
    lost = [frame for frame in range(101) if not 50 <= frame <= 60]
    camera = _camera({"neck": _track(lost, "tracked"), "head_top": _track(range(101), "tracked")})
    assert helping_frames(camera, ["neck", "head_top"], range(0, 50, 5))[0] == 55
    hidden = _camera(camera.tracks, occluded={"neck": tuple(range(50, 61))})
    assert helping_frames(hidden, ["neck", "head_top"], range(0, 50, 5)) == ()


def test_no_frame_helps_where_everything_is_tracked():
    camera = _camera({"neck": _track(range(101), "tracked")})
    assert helping_frames(camera, ["neck"], [0]) == ()


def test_the_least_sure_tracked_position_is_named():
    assert least_sure(_camera({"neck": _track([5], u_px=9.0)}), ["neck"]) is None
    neck = _track(range(20), "tracked", 1.0).replaced(7, Position(1.0, 2.0, 3.0, "tracked"))
    head = _track(range(20), "tracked", 2.0)
    camera = _camera({"neck": neck, "head_top": head})
    assert least_sure(camera, ["head_top", "neck"]) == (7, "neck")
    assert least_sure(_camera(camera.tracks, first_frame=8), ["head_top", "neck"]) == (
        8,
        "head_top",
    )
