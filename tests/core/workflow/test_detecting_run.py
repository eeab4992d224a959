"""One pass through a clip: start, loss, several people, and going on where it stopped."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from deliverylab.core.errors import ClipError
from deliverylab.core.tracking.pose_landmarks import ROW, landmarks_of
from deliverylab.core.workflow.detecting_run import DetectorRun, SeveralPeopleError
from tests.core.tracking.posed import RedBoxNetwork, body, drawn
from tests.core.workflow.walked import N_FRAMES, TORSO_PX, place, walked

FRAMES = list(range(N_FRAMES))


@pytest.fixture(scope="module")
def clip(tmp_path_factory):
    return walked(tmp_path_factory.mktemp("walk"))


def _run(clip, network, answers, box=None):
    delivery, project = clip
    return DetectorRun(delivery, delivery.cameras[0], project, network, box, answers)


def test_the_person_is_found_by_a_scan_and_followed(clip, tmp_path):
    run = _run(clip, RedBoxNetwork(), tmp_path)
    assert run.through(FRAMES) == FRAMES
    raw = run.raw(FRAMES)
    truth = np.array([body(*place(frame), TORSO_PX) for frame in FRAMES])
    # the edge of the box is known to a pixel, and the coder softens it
    assert np.abs(raw.points_px - truth).max() < 2.5
    assert np.all(raw.peaks == 0.9)


def test_a_box_saves_the_scan(clip, tmp_path):
    scanning, told = RedBoxNetwork(), RedBoxNetwork()
    _run(clip, scanning, tmp_path / "a").through(FRAMES[:3])
    left, top = place(0)[0] - TORSO_PX, place(0)[1] - 1.6 * TORSO_PX
    box = (left, top, 2.0 * TORSO_PX, 3.4 * TORSO_PX)
    _run(clip, told, tmp_path / "b", box).through(FRAMES[:3])
    # both ways round: once to settle on the body, then once a frame
    assert told.n_runs == 2 * 4
    assert scanning.n_runs > told.n_runs


def test_a_run_that_is_broken_off_goes_on_where_it_stopped(clip, tmp_path):
    first, second = RedBoxNetwork(), RedBoxNetwork()
    run = _run(clip, first, tmp_path)
    shares = []
    done = run.through(FRAMES, shares.append, lambda: len(shares) == 8)
    assert done == FRAMES[:8]
    assert shares[-1] == pytest.approx(8 / N_FRAMES)
    rest = _run(clip, second, tmp_path)
    assert rest.through(FRAMES) == FRAMES
    # no scan either: it is known where the body was
    assert second.n_runs == 2 * (N_FRAMES - 8)
    assert np.allclose(rest.raw(done).points_px, run.raw(done).points_px)
    third = RedBoxNetwork()
    _run(clip, third, tmp_path).through(FRAMES)
    assert third.n_runs == 0


def test_what_was_done_is_kept_also_when_it_ends_with_an_error(clip, tmp_path):
    class Failing(RedBoxNetwork):
        def run(self, cut):
            if self.n_runs > 60:
                raise KeyboardInterrupt
            return super().run(cut)

    with pytest.raises(KeyboardInterrupt):
        _run(clip, Failing(), tmp_path).through(FRAMES)
    again = RedBoxNetwork()
    _run(clip, again, tmp_path).through(FRAMES[:2])
    assert again.n_runs == 0


def test_somebody_who_goes_out_of_sight_is_found_again(tmp_path):
    pictures = [
        drawn() if 6 <= frame < 9 else drawn((*place(frame), TORSO_PX)) for frame in range(24)
    ]
    run = _run(walked(tmp_path, pictures), RedBoxNetwork(), tmp_path / "answers")
    frames = list(range(24))
    assert run.through(frames) == frames
    is_there = ~np.isnan(run.raw(frames).points_px[:, 0, 0])
    assert is_there[:6].all()
    assert not is_there[6:9].any()
    assert is_there[-4:].all()
    wrist = landmarks_of(run.raw([23]).points_px)[0, ROW["left_wrist"]]
    assert wrist[0] == pytest.approx(place(23)[0] + 0.6 * TORSO_PX, abs=3)


def test_several_people_are_listed_and_a_box_says_which(tmp_path):
    pictures = [drawn((80, 118, 36), (240, 118, 30))] * 3
    filmed = walked(tmp_path, pictures)
    with pytest.raises(SeveralPeopleError, match="2 people") as problem:
        _run(filmed, RedBoxNetwork(), tmp_path / "a").through([0, 1, 2])
    boxes = [tuple(map(float, text.split(","))) for text in problem.value.where.split(";")]
    assert len(boxes) == 2
    assert np.allclose(problem.value.boxes, boxes, atol=0.5)
    run = _run(filmed, RedBoxNetwork(), tmp_path / "b", boxes[1])
    run.through([0, 1, 2])
    assert np.abs(run.raw([0, 1, 2]).points_px - body(240, 118, 30)).max() < 2.5


def test_without_a_clip_there_is_nothing_to_look_at(clip, tmp_path):
    delivery, project = clip
    camera = replace(delivery.cameras[0], clip=None)
    with pytest.raises(ClipError, match="no clip"):
        DetectorRun(delivery, camera, project, RedBoxNetwork(), None, tmp_path)


def test_a_clip_that_is_gone_is_said(clip, tmp_path):
    delivery, _ = clip
    run = DetectorRun(
        delivery, delivery.cameras[0], tmp_path / "elsewhere.delivery", RedBoxNetwork(), None,
        tmp_path,
    )  # fmt: skip
    with pytest.raises(ClipError, match="cannot be found"):
        run.through(FRAMES)


def test_kept_answers_of_another_shape_are_not_used(clip, tmp_path):
    from deliverylab.core.store.detected_answers import answers_file, keep_answers

    delivery, _ = clip
    reference = delivery.cameras[0].clip
    assert reference is not None
    strange = {"frames": np.arange(2.0), "rows": np.zeros((2, 3))}
    keep_answers(answers_file(reference, None, tmp_path), strange)
    network = RedBoxNetwork()
    _run(clip, network, tmp_path).through(FRAMES[:2])
    assert network.n_runs > 0
