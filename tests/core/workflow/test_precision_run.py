from __future__ import annotations

from collections import Counter
from itertools import pairwise

import numpy as np
import pytest

from deliverylab.core.errors import NotFoundError, UsageError
from deliverylab.core.model.changes import replace
from deliverylab.core.model.track import Position, Track
from deliverylab.core.store.schema import from_document, to_document
from deliverylab.core.workflow.precision_run import (
    FRAMES_EACH,
    NEAR_EVENT_FRAMES,
    kept,
    new_run,
    next_target,
    repeat_targets,
    run_of,
    with_last_taken_back,
    with_placed,
    with_skipped,
)
from tests.core.workflow.placing import demo_project


@pytest.fixture
def project():
    return demo_project()


@pytest.fixture
def delivery(project):
    return project.record.deliveries[0]


def test_every_placed_landmark_comes_in_frames_at_the_events_first(delivery):
    camera = delivery.cameras[0]
    targets = repeat_targets(delivery)
    counts = Counter(target.landmark for target in targets)
    assert counts == dict.fromkeys(camera.tracks, FRAMES_EACH)
    assert len(set(targets)) == len(targets)
    events = [camera.timing.frame_at(mark.time_s) for mark in camera.marks.values()]
    for target in targets:
        assert min(abs(target.frame - event) for event in events) <= NEAR_EVENT_FRAMES
        assert camera.track(target.landmark).at(target.frame) is not None


def test_the_order_is_hidden_but_the_same_seed_repeats_it(delivery):
    first, again, other = (repeat_targets(delivery, seed=seed) for seed in (3, 3, 4))
    assert first == again
    assert first != other
    # no landmark in a row of its own, as there would be in the order of the table
    followers = sum(a.landmark == b.landmark for a, b in pairwise(first))
    assert followers < len(first) / 4


@pytest.mark.parametrize("seed", range(20))
def test_a_point_never_follows_itself_and_each_round_is_whole(delivery, seed):
    targets = repeat_targets(
        delivery, landmarks=["throwing_hip", "lead_knee"], n_frames_each=1, times=5, seed=seed
    )
    assert len(targets) == 10
    assert all(a != b for a, b in pairwise(targets))
    assert all(len(set(targets[n : n + 2])) == 2 for n in range(0, 10, 2))


def test_what_cannot_be_planned_is_refused(delivery):
    with pytest.raises(UsageError, match="one frame and one placing"):
        repeat_targets(delivery, times=0)
    with pytest.raises(UsageError, match="placed twice in hidden order"):
        repeat_targets(delivery, landmarks=["neck"], n_frames_each=1, times=2)
    with pytest.raises(NotFoundError):
        repeat_targets(delivery, landmarks=["wing"])
    tracked = Track.of([(3, Position(1.0, 2.0, None, "tracked"))])
    camera = replace(delivery.cameras[0], tracks={"neck": tracked})
    with pytest.raises(UsageError, match="nothing was placed by hand"):
        repeat_targets(replace(delivery, cameras=(camera,)))


def test_a_run_is_interrupted_saved_and_gone_on_with(project, delivery):
    targets = repeat_targets(delivery, landmarks=["neck"], seed=1)
    run = new_run(delivery, targets, "Sam", "2026-05-01")
    assert next_target(run) == targets[0]
    run = with_placed(run, delivery, np.float64(10.0), np.float64(20.0))
    run = with_skipped(run)
    assert (len(run.placed), len(run.waiting)) == (1, len(targets) - 2)
    project.apply(kept(delivery, run))

    saved = from_document(to_document(project.record))
    again = run_of(saved.deliveries[0], "Sam 2026-05-01")
    assert again == run
    assert next_target(again) == targets[2]
    before = delivery.cameras[0].track("neck").at(targets[0].frame)
    assert again.placed[0][3:] == (10.0, 20.0, before.x_px, before.y_px)

    back = with_last_taken_back(again)
    assert next_target(back) == targets[0]
    assert with_last_taken_back(back) == back
    while next_target(again) is not None:
        again = with_placed(again, delivery, 1.0, 2.0)
    with pytest.raises(UsageError, match="finished"):
        with_skipped(again)


def test_a_place_that_a_tracker_found_is_no_first_placing(delivery):
    targets = repeat_targets(delivery, landmarks=["neck"], n_frames_each=1)
    found = Track.of([(targets[0].frame, Position(1.0, 2.0, None, "tracked"))])
    camera = replace(delivery.cameras[0], tracks={"neck": found})
    tracked = replace(delivery, cameras=(camera, *delivery.cameras[1:]))
    run = with_placed(new_run(delivery, targets, "Sam", ""), tracked, 3.0, 4.0)
    assert run.placed[0].before_x_px is None


def test_runs_get_names_of_their_own_and_remember_who_placed_first(project, delivery):
    targets = repeat_targets(delivery, landmarks=["neck"])
    for name in ("Sam 2026-05-01", "Sam 2026-05-01 (2)"):
        run = new_run(project.record.deliveries[0], targets, "Sam", "2026-05-01")
        assert run.name == name
        project.apply(kept(delivery, run))
    other = new_run(project.record.deliveries[0], targets, "Kim", "")
    assert other.who_placed_before == "Sam"
    own = new_run(delivery, targets, "Kim", "", original_placer="Kim")
    assert own.who_placed_before == "Kim"
    with pytest.raises(NotFoundError, match="the runs are: Sam"):
        run_of(project.record.deliveries[0], "nobody")
