"""What the form of the scale offers and says: known lengths, and what a pixel is worth."""

from __future__ import annotations

import math
from dataclasses import dataclass

from deliverylab.core.metrics.spec import COVERAGE_FACTOR
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.scale import PlanarScale
from deliverylab.core.units import INCH_M, UnitSystem, format_value
from deliverylab.core.vocabulary.field import FIELDS
from deliverylab.core.vocabulary.views import END_VIEWS, SIDE_VIEWS

BOTH_ENDS = "Click the two ends of the known length"


@dataclass(frozen=True, kw_only=True)
class KnownLength:
    """A length that can be found in a picture.

    Attributes
    ----------
    name, prompt : str
        What it is, and what to click.
    length_m : float or None
        Metres; None where it has to be measured.
    expanded_u_m : float
        How sure it is, as the ± that is shown (k = 2).
    starts_at_rubber : bool
        Whether its first point is the middle of the rubber's front edge.
    like : PlanarScale or None
        A whole scale to take over instead.
    """

    name: str
    prompt: str = BOTH_ENDS
    length_m: float | None = None
    expanded_u_m: float = 0.01
    starts_at_rubber: bool = False
    like: PlanarScale | None = None


def known_lengths(
    delivery: Delivery, camera: Camera, others: tuple[tuple[str, PlanarScale], ...] = ()
) -> tuple[KnownLength, ...]:
    """Return the lengths that this camera may have seen in the plane of motion.

    `others` are scales of other deliveries that hold here too if the camera was not moved.

    The rubber's width lies across that plane from the side, so it is offered for the others only.
    """
    found = [KnownLength(name="a length of your own")]
    athlete = delivery.athlete
    if athlete.height_m is not None:
        found.append(
            KnownLength(
                name=f"{athlete.name} standing upright",
                prompt="Standing upright: click the top of the head, then the ground at the heels",
                length_m=athlete.height_m,
                expanded_u_m=0.03,
            )
        )
    found.append(
        KnownLength(
            name="rubber's front edge to a taped mark",
            prompt="Click the middle of the rubber's front edge, then the mark",
            starts_at_rubber=True,
        )
    )
    if camera.view not in SIDE_VIEWS:
        found.extend(
            KnownLength(
                name=f"the rubber, {width_m / INCH_M:.0f} in wide",
                prompt="Click the rubber's left and right end",
                length_m=width_m,
                expanded_u_m=0.005,
            )
            for width_m in sorted({size.rubber_width_m for size in FIELDS})
        )
    found.extend(
        KnownLength(name=f"as for {name}, camera not moved", like=scale) for name, scale in others
    )
    return tuple(found)


def length_px(scale: PlanarScale) -> float:
    """Return how many px the known length takes."""
    return math.hypot(scale.b.x_px - scale.a.x_px, scale.b.y_px - scale.a.y_px)


def pixel_text(scale: PlanarScale) -> str:
    """Return what a pixel is worth: ``1 px is 3.73 mm, ± 0.7 %``."""
    distance_px = length_px(scale)
    share = math.hypot(
        scale.u_length_m / scale.length_m, math.sqrt(2.0) * scale.u_point_px / distance_px
    )
    mm = 1000.0 * scale.length_m / distance_px
    return f"1 px is {mm:.2f} mm, ± {100 * COVERAGE_FACTOR * share:.1f} %"


def line_text(scale: PlanarScale, system: UnitSystem) -> str:
    """Return what stands beside the line on the stage: its length and what a pixel is."""
    length = format_value(scale.length_m, None, "m", 2, system)
    return f"{length} · 1 px = {1000.0 * scale.length_m / length_px(scale):.2f} mm"


def meaning_text(
    scale: PlanarScale, delivery: Delivery, camera: Camera, seen_m: float | None
) -> str:
    """Return what a scale means, in lines that a person can check by eye.

    Parameters
    ----------
    seen_m : float or None
        Head to lower heel in the shown frame by this scale, m.
    """
    lines = [f"{pixel_text(scale)}."]
    metres_per_px = scale.length_m / length_px(scale)
    if delivery.athlete.height_m is not None:
        tall_px = delivery.athlete.height_m / metres_per_px
        lines.append(f"{delivery.athlete.name} would stand {tall_px:.0f} px tall.")
    if seen_m is not None:
        lines.append(f"In this frame head to lower heel is {seen_m:.2f} m.")
    if scale.distance_m is None and camera.view not in END_VIEWS:
        lines.append("Without the distance a near camera is assumed, which widens every ±.")
    return "\n".join(lines)
