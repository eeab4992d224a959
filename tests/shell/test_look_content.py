from __future__ import annotations

import msgspec

from deliverylab.core.workflow.review_entry import entry
from deliverylab.shell.look_content import look_words
from tests.shell.filmed_twice import named


def test_an_entry_is_told_with_its_event_in_words():
    delivery = named(3, "Ana 3")
    rear = delivery.cameras[1]
    look = entry(delivery, rear, 200, "right_knee", "jump", "off its course", 2.0)
    assert look_words(look, delivery) == (
        "Lead knee, rear, frame 200, 0.18 s before foot contact", "Off its course.",
    )  # fmt: skip
    side = delivery.cameras[0]
    at = side.timing.frame_at(side.marks["release"].time_s)
    what, _ = look_words(entry(delivery, side, at, "neck", "jump", "x", 2.0), delivery)
    assert what.endswith(f"frame {at}, release")
    alone = msgspec.structs.replace(delivery, cameras=(rear,), space=None)
    what, _ = look_words(look, alone)
    assert what.endswith("frame 200"), "the other clip's events tell nothing without its clock"
