"""Landmarks in space, against the figure that was filmed."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.delivery import Mark
from deliverylab.core.model.track import EMPTY_TRACK
from deliverylab.core.store.c3d import read_c3d, write_c3d
from deliverylab.core.synthetic.field_filming import FieldCare, Phone
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS
from deliverylab.core.workflow.space_export import AXES, tracks_in_space
from tests.core.workflow.seen_twice import seen_twice

replace = msgspec.structs.replace


@pytest.fixture(scope="module")
def seen():
    return seen_twice()


@pytest.fixture(scope="module")
def tracks(seen):
    return tracks_in_space(seen.delivery)


def with_camera(delivery, number, **changes):
    cameras = list(delivery.cameras)
    cameras[number] = replace(cameras[number], **changes)
    return replace(delivery, cameras=tuple(cameras))


def gaps_m(seen, tracks, landmark):
    column = tracks.landmarks.index(landmark)
    return np.linalg.norm(
        tracks.points_m[:, column] - seen.true_m(landmark, tracks.times_s), axis=-1
    )


def test_landmarks_are_where_they_were(seen, tracks):
    assert tracks.landmarks == LANDMARK_KEYS[:-1]  # all but the ball
    slow = ("neck", "left_hip", "right_hip", "left_knee", "right_ankle")
    # exact places and cameras: what is left is the low-pass, and each phone's clock 1/240 or 1/120 s
    for landmark in slow:
        assert np.sqrt(np.mean(gaps_m(seen, tracks, landmark) ** 2)) < 0.001
    for landmark in tracks.landmarks:
        assert np.sqrt(np.mean(gaps_m(seen, tracks, landmark) ** 2)) < 0.005


def test_the_grid_is_even_and_ends_where_only_one_clip_shows_anything(seen, tracks):
    assert tracks.rate_hz == 240.0
    assert tracks.times_s * 240.0 == pytest.approx(np.round(tracks.times_s * 240.0), abs=1e-9)
    assert np.diff(tracks.times_s) == pytest.approx(1.0 / 240.0)
    spans = []
    for camera, solved in zip(seen.delivery.cameras, seen.delivery.space.cameras, strict=True):
        spans.append(camera.timing.times_s[[0, -1]] + solved.offset_s)
    (first_a, last_a), (first_b, last_b) = spans
    assert tracks.times_s[0] == pytest.approx(max(first_a, first_b), abs=1.0 / 240.0)
    assert tracks.times_s[-1] == pytest.approx(min(last_a, last_b), abs=1.0 / 240.0)


def test_left_handers_are_not_mirrored():
    seen = seen_twice(hand="left")
    tracks = tracks_in_space(seen.delivery)
    for landmark in ("left_hip", "right_hip", "left_shoulder"):
        assert np.sqrt(np.mean(gaps_m(seen, tracks, landmark) ** 2)) < 0.002
    assert any("not mirrored" in words for words in AXES)


def test_stated_u_holds_the_truth():
    # 2 px of scatter, and 10 mm beside each joint in some direction, another in each clip
    shares = []
    for seed in range(3):
        seen = seen_twice(care=FieldCare(), seed=seed)
        tracks = tracks_in_space(seen.delivery)
        for column, landmark in enumerate(tracks.landmarks):
            gap = tracks.points_m[:, column] - seen.true_m(landmark, tracks.times_s)
            shares.append(gap / tracks.u_m[:, column])
    shares = np.concatenate(shares)
    # Cameras and clock are exact here while u holds what a good solve leaves of them, and every
    # landmark is one draw of its constant part: 0.83 over 8 deliveries, 98.5 % within 2 u.
    assert 0.7 < np.sqrt(np.mean(shares**2)) < 1.0
    assert np.mean(np.abs(shares) < 2.0) > 0.95


def test_residuals_are_of_the_size_of_the_placing():
    tracks = tracks_in_space(seen_twice(care=FieldCare(bias_m=0.0)).delivery)
    # Two clips give four coordinates, of which a point takes three: of two equally sure views a
    # quarter of the variance is left.  Smoothing makes 2 px about 0.8 px.
    px, metres = (np.sqrt(np.mean(np.square(r))) for r in (tracks.residuals_px, tracks.residuals_m))
    assert 0.2 < px < 1.0
    # 1500 px of focal length, some 6 m away: 4 mm a pixel
    assert metres / px == pytest.approx(6.0 / 1500.0, rel=0.15)
    assert np.all(tracks.n_views == 2)


def test_events_are_on_the_same_clock_and_stand_ins_are_left_out(seen):
    camera = seen.delivery.cameras[0]
    marks = {"foot_contact": Mark(time_s=0.5), "release": Mark(time_s=0.65)}
    delivery = with_camera(seen.delivery, 0, marks=marks)
    delivery = with_camera(delivery, 1, marks={"leg_lift": Mark(time_s=0.2)})
    offset_s = delivery.space.cameras[1].offset_s
    events = tracks_in_space(delivery).events
    assert events == pytest.approx(
        {"leg_lift": 0.2 + offset_s, "foot_contact": 0.5, "release": 0.65}
    )
    slow = replace(camera.timing, stored_rate="30", capture_rate_hz=240.0)
    # the same clip stored slowly: its marks move with it, real time does not
    slowed = {key: Mark(time_s=8.0 * mark.time_s) for key, mark in marks.items()}
    again = tracks_in_space(with_camera(delivery, 0, timing=slow, marks=slowed))
    assert again.events == pytest.approx(events)
    assert again.rate_hz == 240.0


def test_gaps_are_left_open(seen):
    first = seen.delivery.cameras[0]
    wrist = first.tracks["right_wrist"]
    keep = (wrist.frames < 120) | (wrist.frames > 200)
    broken = type(wrist)(
        wrist.frames[keep], wrist.xy_px[keep], wrist.u_px[keep], wrist.origins[keep]
    )
    found = {**first.tracks, "right_wrist": broken, "neck": EMPTY_TRACK}
    tracks = tracks_in_space(with_camera(seen.delivery, 0, tracks=found))
    assert "neck" not in tracks.landmarks
    column = tracks.landmarks.index("right_wrist")
    is_gap = np.isnan(tracks.points_m[:, column, 0])
    assert is_gap.sum() == pytest.approx(81, abs=3)
    for values in (tracks.u_m[..., 0], tracks.residuals_px, tracks.residuals_m):
        np.testing.assert_array_equal(np.isnan(values[:, column]), is_gap)
    assert np.all(tracks.n_views[is_gap, column] == 0)


def test_three_phones_are_used_together():
    phones = (Phone(view="open-side"), Phone(view="rear"), Phone(view="front", distance_m=9.0))
    seen = seen_twice(phones=phones)
    tracks = tracks_in_space(seen.delivery)
    assert tracks.n_views.max() == 3
    assert np.sqrt(np.mean(gaps_m(seen, tracks, "left_hip") ** 2)) < 0.001


def test_what_is_missing_is_said(seen):
    delivery = seen.delivery
    with pytest.raises(InputValueError, match=r"not solved yet.*solve the cameras") as caught:
        tracks_in_space(replace(delivery, space=None))
    assert caught.value.where == "Ana 1"
    with pytest.raises(InputValueError, match="second phone"):
        tracks_in_space(replace(delivery, cameras=delivery.cameras[:1], space=None))
    with pytest.raises(InputValueError, match="no two clips show a landmark at the same time"):
        tracks_in_space(with_camera(delivery, 1, tracks={}))
    neck, hip = (
        delivery.cameras[number].tracks[key] for number, key in ((0, "neck"), (1, "left_hip"))
    )
    apart = with_camera(delivery, 0, tracks={"neck": neck})
    with pytest.raises(InputValueError, match="no two clips show a landmark at the same time"):
        tracks_in_space(with_camera(apart, 1, tracks={"left_hip": hip}))


# ---------------------------------------------------------------------- what is handed on


def test_columns_hold_a_row_for_each_known_point(tracks):
    columns = tracks.columns()
    n = int(np.isfinite(tracks.points_m[..., 0]).sum())
    assert {len(values) for values in columns.values()} == {n}
    row = next(r for r in range(n) if columns["landmark"][r] == "left_elbow")
    frame = round((columns["time_s"][row] - tracks.times_s[0]) * 240.0)
    column = tracks.landmarks.index("left_elbow")
    assert columns["z_m"][row] == tracks.points_m[frame, column, 2]
    assert columns["u_y_m"][row] == tracks.u_m[frame, column, 1]
    assert set(columns["delivery"]) == {"Ana 1"}


def test_an_event_is_named_at_the_nearest_instant(tracks):
    columns = tracks.columns()
    for key, time_s in tracks.events.items():
        at = columns["time_s"][columns["event"] == key]
        assert len(at) == len(tracks.landmarks)
        assert np.all(np.abs(at - time_s) <= 0.5 / 240.0 + 1e-9)


def test_trajectories_come_back_from_a_file(tracks, tmp_path):
    handed_on = tracks.trajectories()
    again = read_c3d(write_c3d(tmp_path / "ana.c3d", handed_on))
    np.testing.assert_allclose(again.points_m, tracks.points_m, rtol=2.0**-24)
    np.testing.assert_allclose(again.residuals_m, tracks.residuals_m, atol=1e-4)
    assert again.labels == tracks.landmarks
    assert again.descriptions[2] == "left shoulder: centre of the joint, under the bony tip"
    assert again.axes == AXES
    assert again.times_s == pytest.approx(tracks.times_s, abs=1e-6)
    assert {e.name: e.time_s for e in again.events} == pytest.approx(tracks.events, abs=1e-6)
    assert again.events[0].description == "instant at which the lead knee is highest"
