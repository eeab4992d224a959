from __future__ import annotations

import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.library import Link, LinkEnd

OPEN = LinkEnd("shoulder_line_rotation", "foot_contact", "more")
LOST = LinkEnd("separation", "foot_contact", "less")


def test_a_link_is_known_by_its_ends() -> None:
    """Wording and strength may be edited without it becoming another one."""
    link = Link(cause=OPEN, effect=LOST, why="they open together")
    assert link.key == ("shoulder_line_rotation", "foot_contact", "separation", "foot_contact")
    assert link.key == Link(cause=OPEN, effect=LOST, why="another word", strength=0.3).key


@pytest.mark.parametrize("strength", [0.0, -0.5, 1.01])
def test_a_strength_is_a_share(strength: float) -> None:
    """Outside 0 to 1 it is refused, with both ends named."""
    with pytest.raises(InputValueError, match="shoulder_line_rotation to separation"):
        Link(cause=OPEN, effect=LOST, why="they open together", strength=strength)


def test_a_link_has_a_reason_and_two_ends() -> None:
    """Without a reason, or from a metric to itself, it is none."""
    with pytest.raises(InputValueError, match="needs its reason"):
        Link(cause=OPEN, effect=LOST, why=" ")
    with pytest.raises(InputValueError, match="where it starts"):
        Link(cause=OPEN, effect=LinkEnd(OPEN.metric, OPEN.event, "less"), why="it turns round")
