"""How a row of the tables of cues and drills is written."""

from __future__ import annotations

from deliverylab.core.model.library import Cue, Drill, LinkEnd
from deliverylab.core.model.plan import ArmLoad


def cues(text: str, *wanted: LinkEnd, for_minors: str = "") -> tuple[Cue, ...]:
    """Return the same cue for everything it serves.

    Parameters
    ----------
    text, for_minors : str
        To an athlete; to a child, where the first would not do.
    wanted : LinkEnd
        Metric, event and the way that is wanted.
    """
    return tuple(
        Cue(metric=end.metric, event=end.event, way=end.way, text=text, text_for_minors=for_minors)
        for end in wanted
    )


def drill(
    name: str, how: str, *wanted: LinkEnd, arm_load: ArmLoad = "none", caution: str = ""
) -> Drill:
    """Return a row of a table of drills; how often it is done never breaks over two lines."""
    how = how.replace(" × ", "\u00a0×\u00a0")
    return Drill(name=name, serves=wanted, how=how, arm_load=arm_load, caution=caution)
