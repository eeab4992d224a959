"""Athletes with planted faults whose consequences run through the figure, filmed and compared.

What follows from a fault is written here by itself, in the figure's own quantities: lengths and angles that
its mechanics tie together, published associations as slopes, and what instructors commonly say with
amounts judged from the spread between pitchers.  It knows nothing of the program's table of links, and
what the figure does by itself (separation out of two rotations, the hand's place out of stride and
trunk, the turning speed out of the angles) is not written down at all but happens when it moves.

References
----------
.. [1] Orishimo KF et al. (2023). J Strength Cond Res 37:623-628 (abstract).
.. [2] van Trigt B et al. (2018). Sports 6(2):51 (abstract): 0.45 m/s for 18° more knee extension at
   layback.
.. [3] Kageyama M et al. (2015). J Sports Sci Med 14:246-255: spreads between pitchers.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import msgspec
import numpy as np

from deliverylab.core.compare.difference import differences
from deliverylab.core.compare.verdict import Difference
from deliverylab.core.errors import DeliveryLabError
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.synthetic.figure import build_delivery
from deliverylab.core.synthetic.population import varied_spec
from deliverylab.core.synthetic.spec import DeliverySpec
from tests.core.metrics.solved import solved_delivery

COMMON = "common practice, amount judged"
SCATTER = 0.3
"""Spread between athletes of each effect, as a share of it: judgement."""
RADAR_U_M_S = 0.22
TWO_SHARE = 0.5
LEAST_BENT_DEG = 24.0


@dataclass(frozen=True)
class Effect:
    """How much one quantity of the figure changes with another: `per_unit` of `of`."""

    of: str
    on: str
    per_unit: float
    source: str


EFFECTS: tuple[Effect, ...] = (
    Effect("hips_ahead_m", "speed_at_lift", 2.5, COMMON),
    Effect("speed_at_lift", "speed_at_contact", 0.9, "the same push gives the same gain"),
    Effect("drive_knee_at_lift", "speed_at_contact", 0.02, "a shorter push gains less"),
    Effect("speed_at_contact", "stride", 10.0, "slower for half of the stride's 0.3 s in the air"),
    Effect("speed_at_lift", "stride", 8.0, "the same from leg lift on"),
    Effect("speed_at_lift", "foot_closed", 45.0, COMMON),
    Effect("speed_at_lift", "glove_pulled", -2.0, COMMON),
    Effect("foot_closed", "pelvis_at_contact", -0.8, COMMON),
    Effect("across_m", "pelvis_at_contact", -90.0, COMMON),
    Effect("pelvis_at_lift", "pelvis_at_contact", 0.8, COMMON),
    Effect("pelvis_at_contact", "shoulders_at_contact", 0.8, COMMON),
    Effect("shoulders_at_lift", "shoulders_at_contact", 0.8, COMMON),
    Effect("glove_pulled", "shoulders_at_contact", 18.0, COMMON),
    Effect("shoulders_at_contact", "arm_behind_at_layback", 0.6, COMMON),
    Effect("shoulders_at_contact", "forearm_up_at_contact", -0.8, COMMON),
    Effect("shoulders_at_contact", "trunk_at_release", -0.5, COMMON),
    Effect("knee_at_layback", "knee_at_release", 1.3, "a knee that gives goes on giving"),
    Effect("knee_at_release", "trunk_at_release", -0.4, COMMON),
    Effect("shoulders_at_contact", "ball", -4.1 * 0.0117, "slopes of [1], r of .41 and .5"),
    Effect("knee_at_layback", "ball", -0.45 / 18.0, "[2]"),
    Effect("trunk_at_release", "ball", 0.05, COMMON),
)
"""In the order of the delivery: an effect's cause has all it will get."""


@dataclass(frozen=True)
class Fault:
    """What is planted: how much of a quantity, and under which results it is seen."""

    name: str
    quantity: str
    size: float
    seen_as: frozenset[tuple[str, str]]


def _fault(name: str, quantity: str, size: float, *seen_as: tuple[str, str]) -> Fault:
    return Fault(name, quantity, size, frozenset(seen_as))


# each is at least some 2.4 times the usual U of a difference in these films (two phones, 2 px and 10 mm
# along each axis): what is as small as its U no method can name
FAULTS: tuple[Fault, ...] = (
    _fault("hips hang back at leg lift", "hips_ahead_m", -0.09,
        ("com_ahead_of_drive_ankle", "leg_lift"), ("com_lean_from_drive_ankle", "leg_lift")),
    _fault("little momentum at leg lift", "speed_at_lift", -0.22, ("com_forward_speed", "leg_lift")),
    _fault("back knee hardly bent", "drive_knee_at_lift", -20.0, ("drive_knee_flexion", "leg_lift")),
    _fault("hips not turned in", "pelvis_at_lift", 29.0, ("pelvis_rotation", "leg_lift")),
    _fault("shoulders not turned in", "shoulders_at_lift", 20.0,
        ("shoulder_line_rotation", "leg_lift")),
    _fault("front foot flies open", "foot_closed", -25.0, ("lead_foot_direction", "foot_plant")),
    _fault("front foot lands open", "across_m", -0.16, ("stride_offset", "")),
    _fault("glove pulled early", "glove_pulled", 0.8,
        ("glove_tuck_time", ""), ("glove_distance", "foot_contact")),
    _fault("front knee gives", "knee_at_layback", 17.0,
        ("lead_knee_flexion", "foot_plant"), ("lead_knee_flexion", "full_layback"),
        ("lead_knee_extension", "")),
)  # fmt: skip


def follows(first: Fault, second: Fault) -> bool:
    """Tell whether the second fault's quantity is one that the first one changes."""
    reached = {first.quantity}
    for effect in EFFECTS:
        if effect.of in reached:
            reached.add(effect.on)
    return second.quantity in reached


def consequences(faults: tuple[Fault, ...], rng: np.random.Generator) -> dict[str, float]:
    """Return how far each quantity of the figure is off, the faults included."""
    off = {fault.quantity: fault.size for fault in faults}
    for effect in EFFECTS:
        factor = effect.per_unit * max(0.0, 1.0 + SCATTER * rng.standard_normal())
        off[effect.on] = off.get(effect.on, 0.0) + factor * off.get(effect.of, 0.0)
    return off


def with_off(spec: DeliverySpec, off: dict[str, float]) -> DeliverySpec:
    """Return a figure whose quantities are off by so much."""

    def moved(values: tuple[float, ...], *names: str | None) -> tuple[float, ...]:
        return tuple(v + off.get(n or "", 0.0) for v, n in zip(values, names, strict=True))

    def turned(part: str) -> tuple[float, ...]:
        lift, contact = f"{part}_at_lift", f"{part}_at_contact"
        values = getattr(spec, {"pelvis": "pelvis_deg", "shoulders": "shoulder_line_deg"}[part])
        at_push = values[1] + 0.5 * (off.get(lift, 0.0) + off.get(contact, 0.0))
        return moved((values[0], at_push, *values[2:]), lift, None, contact, None, None)

    at_layback = {"trunk_at_layback": 0.6 * off.get("trunk_at_release", 0.0)}
    off = off | at_layback
    return replace(
        spec,
        hips_ahead_at_lift_m=spec.hips_ahead_at_lift_m + off.get("hips_ahead_m", 0.0),
        forward_speed_m_s=moved(spec.forward_speed_m_s, "speed_at_lift", "speed_at_contact"),
        stride_percent_height=spec.stride_percent_height + off.get("stride", 0.0),
        stride_closed_m=spec.stride_closed_m + off.get("across_m", 0.0),
        lead_foot_closed_deg=spec.lead_foot_closed_deg + off.get("foot_closed", 0.0),
        glove_pulled=min(max(spec.glove_pulled + off.get("glove_pulled", 0.0), 0.0), 1.0),
        drive_knee_flexion_deg=moved(
            spec.drive_knee_flexion_deg, "drive_knee_at_lift", "drive_knee_at_lift", None
        ),
        pelvis_deg=turned("pelvis"),
        shoulder_line_deg=turned("shoulders"),
        trunk_forward_deg=moved(
            spec.trunk_forward_deg, None, None, None, "trunk_at_layback", "trunk_at_release"
        ),
        lead_knee_flexion_deg=moved(
            spec.lead_knee_flexion_deg, None, None, None, "knee_at_layback", "knee_at_release"
        ),
        horizontal_abduction_deg=moved(
            spec.horizontal_abduction_deg, None, "arm_behind_at_layback", None
        ),
        external_rotation_deg=moved(
            spec.external_rotation_deg, "forearm_up_at_contact", None, None
        ),
        ball_speed_m_s=spec.ball_speed_m_s + off.get("ball", 0.0),
    )


def throw_to_throw(spec: DeliverySpec, rng: np.random.Generator) -> DeliverySpec:
    """Return the same athlete's next throw: no two are alike (judgement: about a degree)."""
    jitter = {
        name: tuple(value + rng.normal(0.0, 1.0) for value in getattr(spec, name))
        for name in (
            "pelvis_deg", "shoulder_line_deg", "trunk_forward_deg", "trunk_lateral_deg",
            "lead_knee_flexion_deg", "drive_knee_flexion_deg", "shoulder_abduction_deg",
            "horizontal_abduction_deg", "external_rotation_deg", "elbow_flexion_deg",
        )
    }  # fmt: skip
    return replace(
        spec,
        **jitter,
        forward_speed_m_s=tuple(v + rng.normal(0.0, 0.02) for v in spec.forward_speed_m_s),
        stride_percent_height=spec.stride_percent_height + rng.normal(0.0, 0.6),
        stride_closed_m=spec.stride_closed_m + rng.normal(0.0, 0.01),
        lead_foot_closed_deg=spec.lead_foot_closed_deg + rng.normal(0.0, 1.5),
        lift_to_contact_s=spec.lift_to_contact_s + rng.normal(0.0, 0.01),
        contact_to_release_s=spec.contact_to_release_s + rng.normal(0.0, 0.001),
    )


def filmed(spec: DeliverySpec, seed: int, name: str) -> Delivery:
    """Film a figure with two phones on a field of their own, mark it, read the radar."""
    solved = solved_delivery(seed, truth=build_delivery(spec), u_mark_s=None)
    rng = np.random.default_rng([seed, 7])
    cameras = tuple(_marked_by_hand(camera, rng) for camera in solved.delivery.cameras)
    radar = spec.ball_speed_m_s + rng.normal(0.0, RADAR_U_M_S)
    return msgspec.structs.replace(
        solved.delivery, name=name, cameras=cameras, ball_speed_m_s=float(radar)
    )


def _marked_by_hand(camera, rng):
    """Put every mark somewhere within its frame, as a person does who picks frames."""
    half = 0.5 * camera.timing.interval_s
    marks = {
        event: msgspec.structs.replace(mark, time_s=mark.time_s + float(rng.uniform(-half, half)))
        for event, mark in camera.marks.items()
    }
    return msgspec.structs.replace(camera, marks=marks)


def planted(seed: int, size: float = 1.0) -> tuple[Fault, ...]:
    """Return one fault or two of which neither follows from the other, so many times as large."""
    rng = np.random.default_rng([seed, 3])
    first = FAULTS[int(rng.integers(len(FAULTS)))]
    chosen = [first]
    if rng.random() < TWO_SHARE:
        apart = [f for f in FAULTS if not follows(first, f) and not follows(f, first)]
        chosen.append(apart[int(rng.integers(len(apart)))])
    return tuple(replace(fault, size=size * fault.size) for fault in chosen)


def compared(
    faults: tuple[Fault, ...], seed: int, *, is_same_throw: bool = False
) -> tuple[Difference, ...]:
    """Return the differences between an athlete with faults and the same one without.

    Parameters
    ----------
    faults : tuple of Fault
        None: the same spec is filmed twice.
    seed : int
        The athlete, what is peculiar to it, and all that happens while filming.
    is_same_throw : bool
        Whether both throw exactly alike but for the faults.
    """
    rng = np.random.default_rng([seed, 1])
    bends_it = any(fault.quantity == "drive_knee_at_lift" for fault in faults)
    for _ in range(200):
        spec = varied_spec(rng)
        if bends_it and spec.drive_knee_flexion_deg[0] < LEAST_BENT_DEG:
            continue  # whose back knee is straight anyhow has nothing to lose
        pair = (with_off(spec, consequences(faults, rng)), spec)
        if not is_same_throw:
            pair = tuple(throw_to_throw(each, rng) for each in pair)
        try:
            a = filmed(pair[0], 2 * seed, "with")
            return differences(a, filmed(pair[1], 2 * seed + 1, "without"))
        except DeliveryLabError:
            continue  # the legs of this one cannot do it
    raise AssertionError("no athlete can do this")
