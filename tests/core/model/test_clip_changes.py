from __future__ import annotations

import pytest

from deliverylab.core.errors import InputValueError, NotFoundError
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.clip_changes import (
    SetMark,
    SetOccluded,
    SetPosition,
    SetPositions,
    SetScale,
)
from deliverylab.core.model.delivery import Camera, Delivery, Mark
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Position

WHERE = {"delivery": "one", "camera": "main"}


@pytest.fixture
def project():
    camera = Camera(
        name="main",
        view="open-side",
        width_px=640,
        height_px=480,
        timing=Timing(n_frames=10, stored_rate="100"),
    )
    delivery = Delivery(name="one", athlete=Athlete(name="Ana"), cameras=(camera,))
    return Project(ProjectRecord(deliveries=(delivery,)))


def _place(frame=3, landmark="ball", **position):
    place = Position(**({"x_px": 1.0, "y_px": 2.0} | position))
    return SetPosition(**WHERE, landmark=landmark, frame=frame, position=place)


def test_a_position_is_placed_moved_and_removed(project):
    project.apply(_place())
    inverse = project.apply(_place(x_px=5.0, u_px=0.5))
    assert project.camera("one").track("ball").at(3) == Position(5.0, 2.0, 0.5)
    project.apply(inverse)
    assert project.camera("one").track("ball").at(3) == Position(1.0, 2.0)
    project.apply(SetPosition(**WHERE, landmark="ball", frame=3, position=None))
    # an empty track leaves no trace, so that undoing the first placing restores the record
    assert project.camera("one").tracks == {}


@pytest.mark.parametrize(
    ("change", "kind", "said"),
    [
        (_place(landmark="wing"), NotFoundError, "unknown landmark"),
        (_place(frame=10), InputValueError, "frames run from 0 to 9"),
        (_place(frame=-1), InputValueError, "no such frame"),
        (_place(x_px=float("nan")), InputValueError, "two numbers"),
        (_place(y_px=float("inf")), InputValueError, "two numbers"),
        (_place(u_px=-1.0), InputValueError, "cannot be negative"),
        (_place(u_px=float("nan")), InputValueError, "cannot be negative"),
        (
            SetOccluded(**WHERE, landmark="ball", frame=99, is_occluded=True),
            InputValueError,
            "no such frame",
        ),
        (
            SetMark(**WHERE, event="release", mark=Mark(time_s=0.2)),
            InputValueError,
            "from 0.000 to 0.090 s",
        ),
        (
            SetMark(**WHERE, event="release", mark=Mark(time_s=float("nan"))),
            InputValueError,
            "outside the clip",
        ),
        (
            SetMark(**WHERE, event="release", mark=Mark(time_s=0.05, u_s=-1.0)),
            InputValueError,
            "cannot be negative",
        ),
        (SetMark(**WHERE, event="kick", mark=None), NotFoundError, "unknown event"),
        (SetScale(delivery="two", camera="main", scale=None), NotFoundError, "no such delivery"),
    ],
)
def test_what_does_not_fit_is_refused(project, change, kind, said):
    before = project.record
    with pytest.raises(kind, match=said):
        project.apply(change)
    assert project.record is before


def test_many_positions_are_set_together_or_not_at_all(project):
    project.apply(_place())
    good = {
        "ball": {3: None, 4: Position(7.0, 8.0)},
        "neck": {3: Position(1.0, 1.0, None, "imported")},
    }
    before = project.record
    inverse = project.apply(SetPositions(**WHERE, positions=good))
    camera = project.camera("one")
    assert camera.track("ball").frames.tolist() == [4]
    assert camera.track("neck").at(3).origin == "imported"
    project.apply(inverse)
    assert project.record == before
    bad = good | {"head_top": {99: Position(1.0, 1.0)}}
    with pytest.raises(InputValueError):
        project.apply(SetPositions(**WHERE, positions=bad))
    assert project.record == before


def test_a_hidden_landmark_is_noted_once_and_taken_back(project):
    hide = SetOccluded(**WHERE, landmark="left_knee", frame=4, is_occluded=True)
    inverse = project.apply(hide)
    assert project.apply(hide).is_occluded
    assert project.camera("one").occluded == {"left_knee": (4,)}
    project.apply(inverse)
    assert project.camera("one").occluded == {}


def test_a_mark_may_lie_up_to_a_frame_beyond_the_clip(project):
    # the event may fall between the last frame and the next, which was not taken
    project.apply(SetMark(**WHERE, event="finish", mark=Mark(time_s=0.0999)))
    assert project.camera("one").marks["finish"].time_s == 0.0999
    with pytest.raises(InputValueError):
        project.apply(SetMark(**WHERE, event="finish", mark=Mark(time_s=0.1001)))


def test_a_scale_is_set_and_removed(project):
    scale = PlanarScale(a=Point(0.0, 0.0), b=Point(100.0, 0.0), length_m=1.0)
    inverse = project.apply(SetScale(**WHERE, scale=scale))
    assert project.camera("one").scale == scale
    project.apply(inverse)
    assert project.camera("one").scale is None


def test_edits_of_one_point_merge_and_others_do_not():
    assert _place(x_px=1.0).key == _place(x_px=9.0).key
    assert _place(frame=3).key != _place(frame=4).key
    assert _place(landmark="ball").key != _place(landmark="neck").key
    first, second = (SetPositions(**WHERE, positions={}) for _ in range(2))
    assert first.key != second.key


@pytest.mark.parametrize(
    ("change", "label", "touches"),
    [
        (_place(landmark="left_knee"), "Place left knee", "positions"),
        (
            SetPosition(**WHERE, landmark="ball", frame=1, position=None),
            "Remove ball",
            "positions",
        ),
        (SetMark(**WHERE, event="leg_lift", mark=Mark(time_s=0.0)), "Mark leg lift", "marks"),
        (SetMark(**WHERE, event="leg_lift", mark=None), "Remove leg lift", "marks"),
        (
            SetOccluded(**WHERE, landmark="neck", frame=0, is_occluded=True),
            "Mark neck as hidden",
            "positions",
        ),
        (SetScale(**WHERE, scale=None), "Set the scale", "scale"),
    ],
)
def test_undo_says_what_it_takes_back(change, label, touches):
    assert change.label == label
    assert change.touches == {touches}
