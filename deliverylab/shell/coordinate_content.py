"""What the coordinates' pane shows of a session: which landmark, its course, words."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

import numpy as np

from deliverylab.core.metrics.inputs import default_u_px
from deliverylab.core.model.delivery import Camera
from deliverylab.core.model.track import ORIGINS
from deliverylab.core.units import format_number
from deliverylab.core.vocabulary.landmarks import role_for_key, role_name
from deliverylab.shell.drawing.coordinate_scene import CoordinateScene
from deliverylab.shell.drawing.palette import side_of
from deliverylab.shell.scrub_content import to_axis
from deliverylab.shell.session import Session, Side
from deliverylab.shell.session_state import placing_keys

if TYPE_CHECKING:
    from deliverylab.core.workflow.review_entry import Look

COVERAGE_FACTOR = 2.0
NOTHING = "No positions in this clip yet"


def landmark_name(session: Session, side: Side, landmark: str) -> str:
    """Return a landmark as a person calls it, with a capital."""
    delivery = session.delivery(side)
    if delivery is None or not landmark:
        return ""
    name = role_name(role_for_key(landmark, delivery.athlete.hand))
    return name[:1].upper() + name[1:]


def placed_landmarks(session: Session, side: Side) -> tuple[str, ...]:
    """Return the landmarks that have a position in a stage's clip, in the order of placing."""
    delivery, camera = session.delivery(side), session.camera(side)
    if delivery is None or camera is None:
        return ()
    keys = (*placing_keys(delivery.athlete.hand), "ball")
    return tuple(key for key in keys if len(camera.track(key)))


def landmark_to_show(session: Session, side: Side, shown: str) -> str:
    """Return the landmark whose course is wanted: the current one, else one that somebody asked for.

    Where there is neither, the one that is shown stays as long as it has positions; so the curve does
    not change while frames pass.
    """
    wanted = session.current_landmark(side) or session.state(side).chosen
    placed = placed_landmarks(session, side)
    if wanted or shown in placed:
        return wanted or shown
    asked = session.next_landmark(side)
    return asked if asked in placed or not placed else placed[0]


def coordinate_scene(
    session: Session, side: Side, landmark: str, looks: Iterable[Look] = ()
) -> CoordinateScene:
    """Return how a landmark runs through a stage's clip, with what is to be checked about it."""
    delivery, camera = session.delivery(side), session.camera(side)
    if delivery is None or camera is None or not landmark:
        return CoordinateScene()
    track = camera.track(landmark)
    u_px = np.where(np.isnan(track.u_px), default_u_px(delivery, camera)[landmark], track.u_px)
    events_s = np.array(list(session.event_times_s(side).values()))
    hue = side_of(landmark, delivery.athlete.hand)
    return CoordinateScene(
        landmark=landmark,
        name=landmark_name(session, side, landmark),
        hue="quiet" if hue == "middle" else hue,
        frames=track.frames,
        places=to_axis(session, side, camera.timing.times_s[track.frames]),
        values={"across": track.xy_px[:, 0], "up": _lower_edge_px(camera) - track.xy_px[:, 1]},
        spread=COVERAGE_FACTOR * u_px,
        origins=track.origins,
        marks=tuple(float(place) for place in to_axis(session, side, events_s)),
        looks={
            look.frame: look.text
            for look in reversed(tuple(looks))  # the worst come first, and stay
            if (look.delivery, look.camera, look.landmark) == (delivery.name, camera.name, landmark)
        },
    )


def playhead_place(session: Session, side: Side) -> float | None:
    """Return where a stage's shown frame lies on the scrub bar's axis, s; None without a clip."""
    if session.camera(side) is None:
        return None
    return float(to_axis(session, side, np.array([session.time_s(side)]))[0])


def _lower_edge_px(camera: Camera) -> float:
    return camera.height_px - 0.5


def position_text(scene: CoordinateScene, frame: int) -> str:
    """Return where the landmark is in a frame, and how sure."""
    row = scene.row_of(frame)
    if not len(scene.frames):
        return NOTHING
    if row is None:
        return "No position in this frame"
    across, up = (format_number(float(values[row]), 1) for values in scene.values.values())
    spread = format_number(max(float(scene.spread[row]), 0.1), 1)
    return f"{across} across, {up} up ± {spread} px"


def tip_text(scene: CoordinateScene, frame: int) -> str:
    """Return what the pointer on a frame's position is told."""
    row = scene.row_of(frame)
    origin = "" if row is None else f", {ORIGINS[scene.origins[row]]}"
    said = [f"Frame {frame}{origin}", position_text(scene, frame)]
    return "\n".join(said + ([scene.looks[frame]] if frame in scene.looks else []))


def doubt_text(scene: CoordinateScene, frame: int) -> str:
    """Return why the position in a frame is to be checked, else which others are, or empty."""
    if frame in scene.looks:
        return f"To check: {scene.looks[frame]}"
    frames = ", ".join(str(each) for each in sorted(scene.looks))
    return f"To check: frame {frames}" if frames else ""
