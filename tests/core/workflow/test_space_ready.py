from __future__ import annotations

import msgspec

from deliverylab.core.model.field import ControlClick
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.workflow.space_ready import gather
from tests.core.workflow.two_phones import left_in_place, solved_two_phones, two_phone_delivery

replace = msgspec.structs.replace


def test_what_cannot_take_part_is_left_out_and_said():
    delivery = solved_two_phones().phones.delivery
    side, rear = delivery.cameras
    strange = side.control | {"flag": ControlClick(x_px=1.0, y_px=2.0)}
    third = replace(rear, name="close", control={})
    clicked = replace(delivery, cameras=(replace(side, control=strange), rear, third))
    sparse = two_phone_delivery(5, only_events=True, is_marked=False, name="Ana 2")
    other = left_in_place(two_phone_delivery(5, only_events=True, name="Ana 3"), "Ana 1")
    alone = replace(other, name="Ana 4", cameras=other.cameras[:1])
    project = Project(
        ProjectRecord(deliveries=(clicked, left_in_place(sparse, "Ana 1"), other, alone))
    )
    ready = gather(project, clicked)
    assert [each.name for each in ready.set_ups] == ["open-side", "rear"]
    assert "flag" not in ready.set_ups[0].clicks_px
    assert [body.delivery.name for body in ready.bodies] == ["Ana 1", "Ana 3"]
    assert [body.delivery.name for body in ready.moving] == ["Ana 1"]
    said = " / ".join(ready.messages)
    assert "flag" in said
    assert "close is left out" in said
    assert "Ana 2 is left out: no event" in said
    assert "Ana 4 is left out: it has no camera rear" in said
