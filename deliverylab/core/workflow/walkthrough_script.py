"""The script that a walkthrough starts from: where to stand still, and what to say there."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import msgspec

from deliverylab.core.compare.chain import chain_of
from deliverylab.core.compare.chain_parts import Chain
from deliverylab.core.compare.difference import differences as measured_differences
from deliverylab.core.compare.verdict import Difference
from deliverylab.core.compare.walkthrough_plan import walked
from deliverylab.core.errors import UsageError
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.model.walkthrough import Stop, Walkthrough
from deliverylab.core.report.walkthrough_words import caption_of
from deliverylab.core.vocabulary.events import BY_KEY

PAUSE_S = 3.0
SPEED = 0.25


def default_script(
    record: ProjectRecord,
    pair: tuple[str, str],
    differences: Sequence[Difference] | None = None,
    chain: Chain | None = None,
) -> Walkthrough:
    """Return a script with a stop at each key event that both deliveries know.

    Parameters
    ----------
    record : ProjectRecord
    pair : (str, str)
        Names of the athlete's and the model delivery.
    differences : sequence of Difference, optional
        Of the pair; measured where not given.  The clear ones make the captions.
    chain : Chain, optional
        What may have started what, found by the program's own links where not given; where it
        begins at an instant, the caption there says so.

    Raises
    ------
    NotFoundError, UsageError
        No such delivery, or no key event that both know.
    """
    project = Project(record)
    a, b = project.delivery(pair[0]), project.delivery(pair[1])
    found = measured_differences(a, b) if differences is None else tuple(differences)
    events = [event for event in walked(a, b).events if BY_KEY[event].key_instant]
    if not events:
        raise UsageError(
            "the two deliveries have no key event in common",
            where=f"{a.name} and {b.name}",
            remedy="mark leg lift, foot contact and release in both",
        )
    found_chain = chain_of(found) if chain is None else chain
    stops = (
        Stop(event=event, pause_s=PAUSE_S, caption=caption_of(event, found, found_chain))
        for event in events
    )
    return Walkthrough(pair=pair, stops=tuple(stops), speed=SPEED)


def adjusted(
    script: Walkthrough,
    *,
    speed: float | None = None,
    pause_s: float | None = None,
    voice: str | None = None,
    voice_offset_s: float | None = None,
) -> Walkthrough:
    """Return a script with what is given changed; a pause holds for all its stops.

    Raises
    ------
    InputValueError
        A speed, pause or offset that cannot be.
    """
    given = {"speed": speed, "voice": voice, "voice_offset_s": voice_offset_s}
    changed: dict[str, Any] = {name: value for name, value in given.items() if value is not None}
    if pause_s is not None:
        changed["stops"] = tuple(
            msgspec.structs.replace(stop, pause_s=pause_s) for stop in script.stops
        )
    return msgspec.structs.replace(script, **changed)
