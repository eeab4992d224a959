"""What the window says and shows of a delivery in space, as plain data."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from deliverylab.core.model.delivery import Delivery
from deliverylab.core.units import UnitSystem, format_value
from deliverylab.core.vocabulary.landmarks import Hand, role_for_key
from deliverylab.core.vocabulary.segments import BY_ENDS
from deliverylab.shell.drawing.space_figure import SpaceBody, SpaceScene
from deliverylab.shell.session import Session
from deliverylab.shell.space_watch import SpaceFound

if TYPE_CHECKING:
    from deliverylab.core.cameras.consistency import LimbLength
    from deliverylab.core.workflow.space_figure import SpaceFigure

ADD_CAMERA, SOLVE = "add_camera", "field"


class Lack(NamedTuple):
    """Why there is nothing in space, what to do, and the action that leads there."""

    reason: str
    remedy: str
    action: str
    button: str


class ShownSpace(NamedTuple):
    """What is painted, and what is said below it."""

    scene: SpaceScene
    words: str


def lack_of(delivery: Delivery | None) -> Lack | None:
    """Return why a delivery cannot be shown in space; None where it can."""
    if delivery is None:
        return Lack("Nothing here yet.", "Add a delivery first.", "add_clip", "Add a clip")
    from deliverylab.core.metrics.space_sight import space_sight

    absence = space_sight(delivery).absence
    if absence is None:
        return None
    reason, remedy = (_sentence(text) for text in (absence.reason, absence.remedy))
    if len(delivery.cameras) < 2:
        return Lack("One clip shows one side only.", remedy, ADD_CAMERA, "Add the second clip")
    return Lack(reason, remedy, SOLVE, "Solve the cameras")


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}." if text else ""


def shown_space(session: Session, found: SpaceFound, *, has_trails: bool) -> ShownSpace | None:
    """Return what is to be painted at the frame shown on the athlete's stage; None without a solve."""
    figure, delivery, camera = (
        found.athlete_figure,
        session.delivery("athlete"),
        session.camera("athlete"),
    )
    if figure is None or delivery is None or camera is None or delivery.name != figure.delivery:
        return None
    from deliverylab.core.workflow.space_figure import clock_s

    time_s = clock_s(figure, delivery, camera.name, session.state("athlete").frame)
    scene = SpaceScene(has_trails=has_trails)
    if time_s is None:
        return ShownSpace(scene, f"{camera.name} is not among the clips that were solved")
    is_mirrored = session.is_mirrored and figure.hand == "left"
    flip = np.array([1.0, -1.0 if is_mirrored else 1.0, 1.0])
    trails = figure.trails(time_s).scaled(flip) if has_trails else None
    points = figure.points_at(time_s) * flip
    scene.athlete = SpaceBody(points_m=points, hand=figure.hand, trails=trails)
    scene.is_mirrored = is_mirrored
    scene.model = _model_body(figure, found.model_figure, time_s, flip)
    scene.separation = _separation_words(session, figure, time_s)
    return ShownSpace(scene, _words(points, found, scene))


def _model_body(
    figure: SpaceFigure, model: SpaceFigure | None, time_s: float, flip: np.ndarray
) -> SpaceBody | None:
    from deliverylab.core.workflow.space_figure import laid_over, same_phase_s

    at_s = None if model is None else same_phase_s(figure, model, time_s)
    if model is None or at_s is None:
        return None
    points = model.points_at(at_s) * laid_over(figure, model) * flip
    return SpaceBody(points_m=points, hand=model.hand)


def _separation_words(session: Session, figure: SpaceFigure, time_s: float) -> str:
    """Return the separation and its ±: that of the readings at an event, else the present one."""
    system = session.unit_system
    event = session.event_at_frame("athlete")
    for result in session.results("athlete") if event else ():
        if (result.metric, result.event) == ("separation", event):
            if result.value is None or not result.is_shown:
                return ""
            text = format_value(result.value, result.expanded_u, "deg", 0, system)
            return f"separation {text}"
    angle = figure.separation_at(time_s)
    if not math.isfinite(angle.value_deg):
        return ""
    return f"separation {format_value(angle.value_deg, 2.0 * angle.u_deg, 'deg', 0, system)}"


def _words(points: np.ndarray, found: SpaceFound, scene: SpaceScene) -> str:
    """Return who is seen, or why little is."""
    if not np.isfinite(points).any():
        return "No landmark is placed in both clips at this instant"
    if found.model is None:
        return ""
    if scene.model is not None:
        return f"thin: {found.model.name}, same phase and height"
    if found.model_figure is None:
        return f"{found.model.name} is not solved in space"
    return "Mark leg lift, foot contact and release in both to see them at one phase"


def limb_words(limbs: tuple[LimbLength, ...], hand: Hand, system: UnitSystem) -> tuple[str, ...]:
    """Return each limb's length and how it spreads over the throw, the most uneven first."""
    order = sorted(limbs, key=lambda limb: -limb.spread_m / limb.length_m)
    words = []
    for limb in order:
        segment = BY_ENDS[limb.start, limb.end].key.partition("_")[2].replace("_", " ")
        side = role_for_key(limb.start, hand).partition("_")[0]
        if system == "metric":
            text = f"{1e3 * limb.length_m:.0f} ± {1e3 * limb.spread_m:.0f} mm"
        else:
            text = format_value(limb.length_m, limb.spread_m, "m", 2, system)
        words.append(f"{side} {segment} {text}")
    return tuple(words)
