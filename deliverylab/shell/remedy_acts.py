"""Where the window leads to for a part of an uncertainty that somebody can make smaller."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, Literal, NamedTuple

from deliverylab.core.metrics.remedies import CAMERAS, DEPTH, MARKING, ONE_PLANE, TIMING
from deliverylab.core.metrics.spec import PLACING, Contribution, Result
from deliverylab.core.metrics.what_helps import Help, what_would_help
from deliverylab.core.vocabulary.events import BY_KEY as EVENTS

Place = Literal["landmark", "event", "scale", "facts", "plan", "field", "place_ball", "clip_time"]

PLACES: Final[dict[str, Place]] = {
    "scale points": "scale",
    "plane of the scale": "scale",
    "scale length": "scale",
    "yaw of the camera": "scale",
    "distance of the camera": "scale",
    "level of the camera": "scale",
    "place of the rubber": "scale",
    "height of the athlete": "facts",
    DEPTH: "plan",
    ONE_PLANE: "plan",
    CAMERAS: "field",
    "how far to the side the ball is": "plan",
    "placing the ball": "place_ball",
    "middle of the ball": "place_ball",
    "time stamps": "clip_time",
}
"""Where something can be done about a source, but for placing and marking."""
_SAID: Final[dict[Place, str]] = {
    "landmark": "Place it again",
    "scale": "Open the scale",
    "facts": "Open who, when, how filmed",
    "plan": "Try another set-up",
    "field": "Open the cameras on the field",
    "place_ball": "Place the ball by hand",
    "clip_time": "Open the time of the clip",
}


class RemedyAct(NamedTuple):
    """Something to do at once about one part of one result.

    Attributes
    ----------
    place : str
        Where it is done: a ``landmark`` of this clip, an ``event``, the ``scale``, the ``facts`` of
        athlete and camera, the ``plan`` of another set-up, the ``field`` with its cameras, or where the ball is placed and the
        clip's time is seen.
    text : str
        What a link says.
    camera : str
        Camera that the result is from.
    event, role : str
        Event to go to, and the landmark's role there; or empty.
    """

    place: Place
    text: str
    camera: str
    event: str = ""
    role: str = ""


def act_for(part: Contribution, result: Result) -> RemedyAct | None:
    """Return where something can be done about a part of a result; None where nowhere here."""
    event = part.event or result.event
    if part.source == PLACING and part.landmark and event:
        return RemedyAct("landmark", _SAID["landmark"], result.camera, event, part.landmark)
    if (part.source == TIMING or part.source.startswith(MARKING)) and event:
        return RemedyAct("event", f"Go to {EVENTS[event].name}", result.camera, event)
    place = PLACES.get(part.source)
    return None if place is None else RemedyAct(place, _SAID[place], result.camera)


class Surer(NamedTuple):
    """Something that would make a delivery's readings surer, and where that is done."""

    help: Help
    gainer: Result
    act: RemedyAct | None


def surest_ways(results: Sequence[Result], n: int) -> tuple[Surer, ...]:
    """Return the `n` things that would help most, each with the result that gains most."""
    by_key = {(one.metric, one.event): one for one in results}
    found = []
    for way in what_would_help(results)[:n]:
        gainer = by_key[way.results[0]]
        part = next(part for part in gainer.budget if part.remedy == way.remedy)
        found.append(Surer(way, gainer, act_for(part, gainer)))
    return tuple(found)
