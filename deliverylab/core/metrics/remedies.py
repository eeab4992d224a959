"""What makes each part of u smaller: the sentence behind every line of a budget."""

from __future__ import annotations

from functools import lru_cache

from deliverylab.core.metrics.spec import PLACING, Contribution
from deliverylab.core.vocabulary.events import event as event_entry
from deliverylab.core.vocabulary.landmarks import role_name

TIMING = "timing of the event"
MARKING = "marking "
"""Before an event's name: source of a time's part from either of its marks."""
DEPTH = "depth not seen"
CAMERAS = "cameras"
CLOCKS = "clocks of the cameras"
HEIGHT = "height of the athlete"
SMOOTHING = "smoothing"
ONE_PLANE = "seen in one plane"
LENGTHS = "lengths of the arm"
TELLING = "which way the arm points"

REMEDIES: dict[str, str] = {
    PLACING: "place its landmarks more closely, or film with the athlete larger in the picture",
    DEPTH: "film from farther away, square, with the athlete in the middle of the picture, and "
    "enter the camera's distance",
    TIMING: "mark the event more closely, or film at a higher frame rate",
    "scale points": "take a longer scale, on both sides of the picture's middle",
    "plane of the scale": "lay the scale where the athlete strides, and film from farther away",
    "scale length": "measure the scale's length again",
    "yaw of the camera": "film square, and say how sure that is",
    "distance of the camera": "tape the camera's distance and enter it",
    "level of the camera": "click a plumb line for the vertical",
    HEIGHT: "measure the athlete's height again",
    "place of the rubber": "click the rubber's front edge more closely",
    "landmarks that others stand in for": "place the hands, heels and toes too",
    "how far to the side the ball is": "film from farther away, square, and tape the camera's distance",
    SMOOTHING: "place more frames around the event",
    "placing the ball": "place the ball more closely, in more frames of its flight",
    "time stamps": "film at a constant, high frame rate",
    "middle of the ball": "place the ball at the middle of its streak, in more frames of its flight",
    "where the ball is thrown to": "film square to the line from the rubber to the plate",
    ONE_PLANE: "film square to the plane of the limb",
    LENGTHS: "film with a second phone: how long this arm is follows from height only roughly",
    TELLING: "film with a second phone: one picture does not show how far the arm points out of it",
    CAMERAS: "tape two cones more, or a pole, click them in both clips, and solve the cameras again",
    CLOCKS: "film both clips at a higher frame rate, and place the arm in every frame",
}
"""By source, where it belongs to no landmark or event of its own."""


@lru_cache(maxsize=512)
def remedy_for(source: str, landmark: str = "", event: str = "") -> str:
    """Return what would make this part smaller; empty where nobody can do anything."""
    at = f" at {event_entry(event).name}" if event else ""
    if source == PLACING and landmark:
        return f"place the {role_name(landmark)}{at} again, zoomed in"
    if event and source == TIMING:
        return _mark_more_closely(event_entry(event).name)
    if source.startswith(MARKING):
        return _mark_more_closely(source.removeprefix(MARKING))
    return REMEDIES.get(source, "")


def _mark_more_closely(name: str) -> str:
    return f"mark {name} more closely: step frame by frame, or film at a higher frame rate"


def line(source: str, u: float, landmark: str = "", event: str = "") -> Contribution:
    """Return a line of a budget with its remedy."""
    return Contribution(source, u, landmark, event, remedy_for(source, landmark, event))
