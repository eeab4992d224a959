"""A rolling shutter's error is made by filming row by row, and taken out again."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.inputs import event_positions
from deliverylab.core.metrics.shutter import landmark_times_s, middle_row, seen_track
from deliverylab.core.model.camera_motion import CameraMotion
from deliverylab.core.model.delivery import Camera
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Position, Track
from tests.core.tracking.turned import mapped, turning

ROW_TIME_S = 0.020 / 720


def camera_of(places, *, row_time_s=ROW_TIME_S, **facts):
    track = Track.of((frame, Position(*xy)) for frame, xy in enumerate(places))
    return Camera(
        name="main", view="open-side", width_px=1280, height_px=720,
        timing=Timing(n_frames=len(places), stored_rate="60"), tracks={"right_hand": track},
        row_time_s=row_time_s, **facts,
    )  # fmt: skip


def filmed(place_at, n_frames=12):
    """Return where rows show a point that is at place_at(t), rows being late or early."""
    places = []
    for frame in range(n_frames):
        xy = place_at(frame / 60)
        for _ in range(20):
            xy = place_at(frame / 60 + ROW_TIME_S * (xy[1] - 359.5))
        places.append(xy)
    return places


def curved(t):
    # 5 m/s and 100 m/s² at 240 px a metre, 40 % of the height above the middle
    return 100.0 + 1200.0 * t + 12000.0 * t * t, 71.5 + 300.0 * t


def test_off_it_is_the_very_track():
    camera = camera_of([(1.0, 2.0), (3.0, 4.0)], row_time_s=0.0)
    assert seen_track(camera, "right_hand") is camera.tracks["right_hand"]


def test_a_hand_at_5_m_s_is_put_back():
    camera = camera_of(filmed(curved))
    truth = np.array([curved(frame / 60) for frame in range(12)])
    before = np.abs(camera.track("right_hand").xy_px - truth)[1:-1]
    after = np.abs(seen_track(camera, "right_hand").xy_px - truth)[1:-1]
    # 8 ms at 1200 px/s and more
    assert before[0, 0] > 9.0
    # what is left is the change of the row's lateness within a frame
    assert after.max() < 0.02 * before.max()


def test_times_are_those_of_the_rows():
    camera = camera_of([(5.0, 359.5), (5.0, 719.0)])
    assert middle_row(camera) == 359.5
    assert landmark_times_s(camera, "right_hand") == pytest.approx([0.0, 1 / 60 + 0.01], abs=2e-5)


def test_alone_a_position_stays():
    camera = camera_of(filmed(curved))
    track = camera.track("right_hand")
    alone = Track.of([(2, track.at(2)), (7, track.at(7))])
    lonely = replace(camera, tracks={"right_hand": alone})
    assert seen_track(lonely, "right_hand") == alone


def test_at_an_event_all_landmarks_are_of_one_instant(side):
    from deliverylab.core.synthetic.filming import FilmingSetUp, film_positions
    from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS

    camera = side.delivery.cameras[0]
    set_up = FilmingSetUp(distance_m=10.0, rate_hz=240.0, row_time_s=0.004 / 720)
    rolled = film_positions(side.truth, set_up)
    true = film_positions(side.truth, replace_row_time(set_up))
    errors = {}
    for row_time_s in (0.0, set_up.row_time_s):
        tracks = {
            key: Track.of(
                (frame, Position(*rolled[frame, column]))
                for frame in np.flatnonzero(np.isfinite(rolled[:, column, 0])).tolist()
            )
            for column, key in enumerate(LANDMARK_KEYS)
        }
        seen = replace(camera, tracks=tracks, row_time_s=row_time_s)
        hand = event_positions(side.delivery, seen, "release").of("throwing_hand")
        column = LANDMARK_KEYS.index("right_hand")
        at = camera.marks["release"].time_s
        times_s = side.truth.times_s
        place = [np.interp(at, times_s, true[:, column, axis]) for axis in range(2)]
        errors[row_time_s] = np.hypot(hand.x_px - place[0], hand.y_px - place[1])
    assert errors[set_up.row_time_s] < 0.35 * errors[0.0]


def replace_row_time(set_up):
    import dataclasses

    return dataclasses.replace(set_up, row_time_s=0.0)


def test_u_of_the_row_time_is_in_u(side):
    delivery = side.delivery
    camera = replace(delivery.cameras[0], row_time_s=0.0, u_row_time_s=1e-6)
    plain = event_positions(delivery, delivery.cameras[0], "release").of("throwing_hand")
    unsure = event_positions(delivery, camera, "release").of("throwing_hand")
    speed_px_s = np.hypot(*np.subtract(plain.after, plain.before)) * 120.0
    expected = speed_px_s * abs(plain.y_px - middle_row(camera)) * 1e-6
    assert unsure.u_px == pytest.approx(np.hypot(plain.u_px, expected), rel=1e-6)


def test_everything_follows_a_repaired_axis(side):
    """Frames stamped as if half as far apart as they were: repaired, all results are as before."""
    from deliverylab.core.metrics.evaluate import evaluate
    from deliverylab.core.model.timing import TimeRepair

    camera = side.delivery.cameras[0]
    stamps_s = camera.timing.times_s
    hurried = replace(
        camera.timing,
        stored_rate="480",
        repair=TimeRepair(times_s=tuple(stamps_s.tolist()), note="as it was"),
    )
    marks = {key: replace(mark, time_s=mark.time_s / 2) for key, mark in camera.marks.items()}
    mended = replace(side.delivery, cameras=(replace(camera, timing=hurried, marks=marks),))
    pairs = zip(evaluate(side.delivery), evaluate(mended), strict=True)
    told = [(one, two) for one, two in pairs if one.is_shown]
    for one, two in told:
        assert two.value == pytest.approx(one.value, rel=1e-6, abs=1e-6), one.metric
        assert two.u == pytest.approx(one.u, rel=1e-3), one.metric


def test_a_doubted_axis_withholds_speeds_and_leaves_positions(side):
    from deliverylab.core.metrics.evaluate import evaluate
    from deliverylab.core.model.timing import TimeDoubt

    camera = side.delivery.cameras[0]
    doubt = TimeDoubt(kind="ramp", frames=((0, 9),), reason="the motion slows", remedy="film again")
    timing = replace(camera.timing, doubts=(doubt,))
    doubted = replace(side.delivery, cameras=(replace(camera, timing=timing),))
    shown = {(r.metric, r.event): r.is_shown for r in evaluate(doubted)}
    reasons = {r.metric: r.reason for r in evaluate(doubted)}
    assert not shown["com_forward_speed", "release"]
    assert "the motion slows" in reasons["com_forward_speed"]
    assert shown["trunk_forward_tilt", "release"]


def shaken(delivery):
    """Return the delivery as a camera that pans and shakes would have recorded it, and its motion."""
    camera = delivery.cameras[0]
    n = camera.timing.n_frames
    at = np.arange(n)
    angles = np.stack((0.02 * at, 0.15 * np.sin(at / 9.0), 0.1 * np.cos(at / 7.0)), axis=-1)
    to_first = turning(angles)
    to_first = np.linalg.inv(to_first[0]) @ to_first
    to_first /= to_first[:, 2:, 2:]
    tracks = {}
    for key, track in camera.tracks.items():
        back = np.linalg.inv(to_first[track.frames])
        places = np.array(
            [mapped(one, [place])[0] for one, place in zip(back, track.xy_px, strict=True)]
        )
        tracks[key] = Track(track.frames, places, track.u_px, track.origins)
    motion = CameraMotion(
        reference_frame=0,
        frames=tuple(range(n)),
        homographies=tuple(tuple(one.ravel()[:8].tolist()) for one in to_first),
        u_px=(0.05,) * n,
    )
    return replace(camera, tracks=tracks), motion


def test_what_a_panning_camera_does_to_results_is_taken_out(side):
    side = side.delivery
    still = {(one.metric, one.event): one for one in evaluate(side)}
    camera, motion = shaken(side)

    def results(**parts):
        moved = replace(side, cameras=(replace(camera, **parts), *side.cameras[1:]))
        return {(one.metric, one.event): one for one in evaluate(moved)}

    wrong, right = results(), results(motion=motion)
    speed = ("com_forward_speed", "foot_contact")
    assert abs(wrong[speed].value - still[speed].value) > 2.0 * still[speed].expanded_u
    n_compared = 0
    for key, one in still.items():
        if one.value is None or one.metric.startswith("ball"):
            continue
        assert right[key].value == pytest.approx(one.value, abs=0.05 * one.expanded_u + 1e-6), key
        n_compared += 1
    assert n_compared > 20
