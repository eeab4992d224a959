from __future__ import annotations

from deliverylab.core.workflow.review_entry import entry
from tests.shell.filmed_twice import filmed_twice

__all__ = ["filmed_twice"]


def test_what_is_right_is_one_step_back(filmed_twice):
    delivery = filmed_twice.delivery("athlete")
    look = entry(delivery, delivery.cameras[1], 240, "left_wrist", "jump", "off", 2.0)
    filmed_twice.say_right(look)
    assert filmed_twice.delivery("athlete").cameras[1].is_right("left_wrist", 240, "jump")
    filmed_twice.undo_stack.undo()
    assert filmed_twice.delivery("athlete").cameras[1].looked_at == ()
