from __future__ import annotations

import msgspec
import numpy as np
import pytest

from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.model.camera_motion import CameraMotion
from deliverylab.core.model.delivery import Camera, Delivery, LookedAt
from deliverylab.core.model.precision import PlacedAgain, PlacingRun, PlacingTarget
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.timing import TimeDoubt, TimeRepair, Timing
from deliverylab.core.model.track import Position, Track
from deliverylab.core.workflow.packing_cut import SAME, Cut, cut_record, cuts_of, whole
from deliverylab.core.workflow.space_freshness import (
    body_fingerprint,
    field_fingerprint,
    is_out_of_date,
)
from tests.core.workflow.packed import example, longer, mark_at

replace = msgspec.structs.replace


def names(delivery):
    return [camera.name for camera in delivery.cameras]


def fresh(record):
    """Return a record whose solves go with what they were made from."""
    return replace(
        record,
        deliveries=tuple(
            replace(
                d,
                space=replace(
                    d.space,
                    field_inputs=field_fingerprint(record, d),
                    body_inputs=body_fingerprint(d),
                ),
            )
            for d in record.deliveries
        ),
    )


@pytest.fixture(scope="module")
def filmed_longer():
    record = example()
    return fresh(replace(record, deliveries=tuple(map(longer, record.deliveries))))


@pytest.fixture(scope="module")
def cut(filmed_longer):
    cuts = {
        (d.name, n): c for d in filmed_longer.deliveries for n, c in cuts_of(d, names(d)).items()
    }
    return cut_record(filmed_longer, cuts)


def assert_same(before, after):
    for old, new in zip(evaluate(before), evaluate(after), strict=True):
        assert (new.status, new.reason, new.basis, new.cautions) == (
            old.status, old.reason, old.basis, old.cautions,
        )  # fmt: skip
        for number, again in ((old.value, new.value), (old.u, new.u)):
            assert (number is None) == (again is None)
            if number is not None:
                assert again == pytest.approx(number, rel=SAME, abs=SAME)


def test_results_of_two_joined_cameras_are_the_same(filmed_longer, cut):
    for before, after in zip(filmed_longer.deliveries, cut.deliveries, strict=True):
        assert_same(before, after)
        for old, new in zip(before.cameras, after.cameras, strict=True):
            assert new.timing.n_frames < old.timing.n_frames - 200


def test_results_of_one_camera_are_the_same(filmed_longer):
    before = filmed_longer.deliveries[0]
    before = replace(before, cameras=before.cameras[:1], space=None)
    cuts = cuts_of(before, names(before))
    record = ProjectRecord(deliveries=(before,))
    after = cut_record(record, {(before.name, n): c for n, c in cuts.items()}).deliveries[0]
    assert_same(before, after)
    assert after.cameras[0].first_frame <= 61


def test_a_fresh_solve_stays_fresh_and_a_stale_one_stale(filmed_longer, cut):
    assert [is_out_of_date(filmed_longer, d) for d in filmed_longer.deliveries] == ["", ""]
    assert [is_out_of_date(cut, d) for d in cut.deliveries] == ["", ""]
    for inputs in ("field_inputs", "body_inputs"):
        one = filmed_longer.deliveries[0]
        stale = replace(one, space=replace(one.space, **{inputs: "else"}))
        record = replace(filmed_longer, deliveries=(stale, *filmed_longer.deliveries[1:]))
        cuts = {(stale.name, n): c for n, c in cuts_of(stale, names(stale)).items()}
        after = cut_record(record, cuts)
        expected = inputs.removesuffix("_inputs")
        assert is_out_of_date(record, stale) == expected
        assert is_out_of_date(after, after.deliveries[0]) == expected


def test_what_is_whole_stays_as_it_is():
    record = example()
    for delivery in record.deliveries:
        assert cuts_of(delivery, names(delivery)) == {
            camera.name: whole(camera) for camera in delivery.cameras
        }
    assert cut_record(record, {}) == record


@pytest.fixture
def camera():
    timing = Timing(n_frames=400, stored_rate="100")
    track = Track.of((frame, Position(frame, 2.0 * frame)) for frame in range(400))
    return Camera(
        name="main", view="open-side", width_px=64, height_px=48, timing=timing,
        first_frame=150, last_frame=250, tracks={"left_knee": track},
        occluded={"left_hip": (10, 160, 170, 390)},
        looked_at=(
            LookedAt(landmark="left_knee", frame=20, reason="jump"),
            LookedAt(landmark="left_knee", frame=200, reason="jump"),
        ),
        duplicate_frames=(90, 160, 200, 350),
    )  # fmt: skip


def cut_alone(camera, cut, **more):
    delivery = Delivery(
        name="Ana 1", athlete=example().deliveries[0].athlete, cameras=(camera,), **more
    )
    made = cut_record(ProjectRecord(deliveries=(delivery,)), {("Ana 1", "main"): cut})
    return made.deliveries[0]


def test_all_that_counts_frames_begins_anew(camera):
    marked = replace(camera, marks={"release": mark_at(camera, 220)})
    after = cut_alone(marked, Cut(100, 300)).cameras[0]
    assert after.timing.n_frames == 201
    assert (after.first_frame, after.last_frame) == (50, 150)
    assert after.marks["release"].time_s == pytest.approx(1.2)
    assert after.track("left_knee").at(0) == Position(100.0, 200.0)
    assert len(after.track("left_knee")) == 201
    assert after.occluded == {"left_hip": (60, 70)}
    assert after.duplicate_frames == (60, 100)
    assert [said.frame for said in after.looked_at] == [100]


def test_uneven_and_repaired_times_keep_their_spacing(camera):
    stamps_s = tuple((np.cumsum(np.r_[0.0, np.tile([0.01, 0.03], 200)])[:400]).tolist())
    repair = TimeRepair(times_s=tuple((np.arange(400) * 0.02).tolist()), note="even")
    doubt = TimeDoubt(kind="ramp", frames=((10, 20), (90, 120), (350, 360)), reason="r", remedy="m")
    timing = replace(camera.timing, stamps_s=stamps_s, repair=repair, doubts=(doubt,))
    after = cut_alone(replace(camera, timing=timing), Cut(101, 300)).cameras[0].timing
    old_s, new_s = timing.times_s[101:301], after.times_s
    np.testing.assert_allclose(new_s, old_s - old_s[0], atol=1e-12)
    np.testing.assert_allclose(
        after.real_s(new_s), timing.real_s(old_s) - timing.real_s(old_s[0]), atol=1e-12
    )
    assert after.doubts[0].frames == ((0, 19),)
    assert after.true_rate_hz == pytest.approx(timing.true_rate_hz)


def test_a_cameras_motion_and_places_again_move_along(camera):
    motion = CameraMotion(
        reference_frame=150, frames=tuple(range(140, 200)),
        homographies=((1.0, 0.0, 3.0, 0.0, 1.0, 4.0, 0.0, 0.0),) * 60, u_px=(0.1,) * 60,
    )  # fmt: skip
    run = PlacingRun(
        name="r", placer="Ida", placed=(PlacedAgain("main", 180, "left_knee", 1.0, 2.0),),
        waiting=(PlacingTarget("main", 190, "left_knee"), PlacingTarget("other", 7, "left_knee")),
    )  # fmt: skip
    after = cut_alone(replace(camera, motion=motion), Cut(145, 300), placing_runs=(run,))
    assert after.cameras[0].motion.reference_frame == 5
    assert after.cameras[0].motion.frames[0] == 0
    assert after.cameras[0].motion.in_frame(0, (3.0, 4.0)) == pytest.approx((0.0, 0.0))
    assert after.placing_runs[0].placed[0].frame == 35
    assert [each.frame for each in after.placing_runs[0].waiting] == [45, 7]


def test_marks_and_places_again_are_kept_outside_the_trim(camera):
    run = PlacingRun(name="r", placer="Ida", waiting=(PlacingTarget("main", 30, "left_knee"),))
    marked = replace(camera, marks={"finish": mark_at(camera, 330)})
    delivery = Delivery(
        name="Ana 1",
        athlete=example().deliveries[0].athlete,
        cameras=(marked,),
        placing_runs=(run,),
    )
    found = cuts_of(delivery, ["main"])["main"]
    assert found.first_frame < 30
    assert 330 < found.last_frame < 399


def test_a_repeat_does_not_come_first(camera):
    trimmed = replace(camera, first_frame=150, duplicate_frames=(124, 125, 126))
    delivery = Delivery(name="a", athlete=example().deliveries[0].athlete, cameras=(trimmed,))
    found = cuts_of(delivery, ["main"])["main"]
    # 0.25 s before the trim lies frame 125, which shows what 123 showed
    assert found.first_frame == 123


def test_a_cut_counts_both_ends():
    assert Cut(3, 7).n_frames == 5
