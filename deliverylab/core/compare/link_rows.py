"""How a row of the tables of links is written."""

from __future__ import annotations

from deliverylab.core.model.library import COMMON_PRACTICE, Link, LinkEnd

OF_COMMON_PRACTICE, OF_PUBLISHED = 0.6, 0.8
"""How much of a difference a link carries on (judgement): more where somebody measured it."""
SAME_COURSE = 0.9
"""The same between a quantity at one instant and the same quantity a moment later."""


def more(metric: str, event: str = "") -> LinkEnd:
    """Return the end at which the value is larger."""
    return LinkEnd(metric=metric, event=event, way="more")


def less(metric: str, event: str = "") -> LinkEnd:
    """Return the end at which the value is smaller."""
    return LinkEnd(metric=metric, event=event, way="less")


def link(
    cause: LinkEnd,
    effect: LinkEnd,
    why: str,
    source: str = COMMON_PRACTICE,
    *,
    strength: float = 0.0,
    is_mirrored: bool = True,
) -> Link:
    """Return a row; its strength follows from its source where none is given."""
    usual = OF_COMMON_PRACTICE if source == COMMON_PRACTICE else OF_PUBLISHED
    return Link(
        cause=cause,
        effect=effect,
        why=why,
        source=source,
        strength=strength or usual,
        is_mirrored=is_mirrored,
    )
