from __future__ import annotations

import msgspec

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.field import ControlClick, FieldPoint, FieldSetUp
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.timing import Timing
from deliverylab.core.workflow.packing_points import nameless_keys

replace = msgspec.structs.replace


def point(key, above=""):
    return FieldPoint(
        key=key, name=key, kind="cone", place_m=(1.0, 0.0, 0.0), u_m=(0.01,) * 3, above=above
    )


def told(text):
    return text.replace("eva", "A").replace("bo", "A").replace("left", "A")


def record_of(*points, clicked=()):
    camera = Camera(
        name="side", view="open-side", width_px=64, height_px=48,
        timing=Timing(n_frames=9, stored_rate="30"),
        control={key: ControlClick(x_px=1.0, y_px=2.0) for key in clicked},
    )  # fmt: skip
    delivery = Delivery(
        name="1", athlete=Athlete(name="Eva"), cameras=(camera,), field=FieldSetUp(points=points)
    )
    return ProjectRecord(deliveries=(delivery, replace(delivery, name="2", field=None)))


def test_no_two_points_become_one():
    record = record_of(point("eva_post"), point("bo_post"), point("A_post"))
    keys = nameless_keys(record, told)
    assert keys["A_post"] == "A_post"
    assert "eva" not in keys["eva_post"]
    assert len(set(keys.values())) == len(keys)


def test_keys_of_clicks_and_feet_of_poles_are_among_them():
    keys = nameless_keys(record_of(point("top", above="eva_foot"), clicked=("bo_cone",)), told)
    assert (keys["eva_foot"], keys["bo_cone"], keys["top"]) == ("A_foot", "A_cone", "top")


def test_the_program_s_own_points_keep_their_keys():
    keys = nameless_keys(record_of(point("cone_left"), point("rubber_front_left")), told)
    assert keys["cone_left"] == "cone_left"
    assert keys["rubber_front_left"] == "rubber_front_left"
