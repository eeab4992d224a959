from __future__ import annotations

import msgspec
import pytest

from deliverylab.core.compare.known_marks import with_known_marks
from deliverylab.core.model.delivery import Mark
from deliverylab.core.model.space import SolvedCamera, SpaceSolution
from deliverylab.core.model.timing import Timing
from tests.core import walked_pair

replace = msgspec.structs.replace


def _solved(name, offset_s):
    numbers = (0.0,) * 7
    return SolvedCamera(name=name, numbers=numbers, width_px=320, height_px=180, offset_s=offset_s)


def _solution(offset_s, **fields):
    nothing = tuple((0.0,) * 15 for _ in range(15))
    return SpaceSolution(
        cameras=(
            _solved("side", 0.0),
            _solved("rear", offset_s),
        ),
        covariance=nothing,
        points_m={},
        residuals=(),
        worst_deg=0.5,
        field_misfit=1.0,
        **{"trust": "good", **fields},
    )


def _filmed_twice(offset_s=0.25, **fields):
    side = walked_pair.camera({"leg_lift": 0.5, "release": 1.4})
    # stored four times slower than life, on a clock of its own
    slow = Timing(n_frames=400, stored_rate="30", capture_rate_hz=120.0)
    marks = {"leg_lift": 2.0, "foot_contact": 4.0}
    rear = walked_pair.camera(marks, name="rear", view="rear", timing=slow, tracks={})
    made = walked_pair.delivery("Ana 1", {})
    return replace(made, cameras=(side, rear), space=_solution(offset_s, **fields))


def test_an_event_of_the_other_clip_is_known_by_the_solved_clocks():
    made = _filmed_twice()
    known = with_known_marks(made, made.cameras[0])
    # 4 s of the slow clip are 1 real second, 0.25 s later on the first clip's clock
    assert known.marks["foot_contact"].time_s == pytest.approx(1.25)
    assert tuple(known.marks) == ("leg_lift", "foot_contact", "release")
    assert known.marks["leg_lift"] == made.cameras[0].marks["leg_lift"]


def test_it_goes_the_other_way_too():
    made = _filmed_twice()
    known = with_known_marks(made, made.cameras[1])
    assert known.marks["release"].time_s == pytest.approx((1.4 - 0.25) * 4.0)


def test_how_a_mark_came_about_goes_with_it():
    made = _filmed_twice()
    rear = replace(made.cameras[1], marks={"finish": Mark(time_s=5.0, origin="suggested")})
    made = replace(made, cameras=(made.cameras[0], rear))
    assert with_known_marks(made, made.cameras[0]).marks["finish"].origin == "suggested"


@pytest.mark.parametrize("space", [None, _solution(0.25, trust="refused")])
def test_without_a_solution_that_may_be_used_a_camera_knows_its_own_marks(space):
    made = replace(_filmed_twice(), space=space)
    assert with_known_marks(made, made.cameras[0]) is made.cameras[0]


def test_a_camera_that_was_not_solved_knows_its_own_marks():
    made = _filmed_twice()
    third = walked_pair.camera({"release": 1.0}, name="phone")
    assert with_known_marks(replace(made, cameras=(*made.cameras, third)), third) is third


def test_a_solved_camera_that_is_gone_tells_nothing():
    made = _filmed_twice()
    alone = replace(made, cameras=made.cameras[:1])
    assert with_known_marks(alone, alone.cameras[0]).marks == alone.cameras[0].marks
