"""Pitchers around published means: handedness, size, tempo and posture drawn with their spread.

Every draw is a delivery of known truth.  The spread is that between pitchers as printed; where a
value is not printed, or only from memory, that is said beside it.  This is our own simulation: it
varies what the figure can vary, and real bodies vary in more.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.errors import InputValueError
from deliverylab.core.synthetic.figure import SyntheticDelivery, build_delivery
from deliverylab.core.synthetic.spec import DeliverySpec

Array = NDArray[np.float64]

SPREADS: dict[str, tuple[float, ...]] = {
    # Kageyama et al. 2015, collegiate column, at leg lift, push, contact, layback, release where
    # printed; the others (leg lift and push of the rotations) are taken like contact
    "pelvis_deg": (9.7, 9.7, 9.7, 14.7, 7.3),
    "shoulder_line_deg": (9.5, 9.5, 9.5, 23.7, 9.9),
    "trunk_forward_deg": (4.8, 6.2, 4.8, 7.8, 7.6),
    "lead_knee_flexion_deg": (13.5, 15.0, 8.5, 10.9, 13.7),
    "drive_knee_flexion_deg": (6.4, 9.4, 10.2),
    # lateral tilt at release 34 ± 8 and 24 ± 11 (Escamilla et al. 2023, as cited in a digest);
    # the smaller spreads before are judgement
    "trunk_lateral_deg": (2.0, 4.0, 7.0, 8.0),
    # abduction 85 ± 12 at contact, 95 ± 7 at release; elbow 101 ± 15 and 30 ± 6; layback 165 ± 9
    # (the same digest); the rest judgement
    "shoulder_abduction_deg": (12.0, 9.0, 7.0),
    "horizontal_abduction_deg": (12.0, 9.0, 9.0),
    "external_rotation_deg": (20.0, 9.0, 12.0),
    "elbow_flexion_deg": (15.0, 11.0, 6.0),
}
"""Standard deviation between pitchers, degrees, in the order of the spec's instants."""
SHARED_SHARE = 0.7
"""Share of that variance that a pitcher keeps from instant to instant: judgement, not printed."""
STRIDE_SD_PERCENT = 4.2  # Kageyama et al. 2015
STRIDE_CLOSED_SD_M = 0.06  # judgement
LEAD_FOOT_SD_DEG = 8.0  # judgement
HEIGHT_SD_M = 0.06  # judgement: adults of one league
LIFT_TO_CONTACT_SD_S, LIFT_TO_CONTACT_RANGE_S = (
    0.15,
    (0.6, 1.3),
)  # printed 0.3; the slowest left out
CONTACT_TO_RELEASE_SD_S, CONTACT_TO_RELEASE_RANGE_S = 0.012, (0.115, 0.18)  # judgement
LEFT_HANDED_SHARE = 0.3  # judgement
CLIP_START_RANGE_S = 0.05
"""Clips start at any part of a frame: no event lies on a frame by design."""
MAX_DRAWS = 200


def varied_spec(rng: np.random.Generator, base: DeliverySpec | None = None) -> DeliverySpec:
    """Draw one pitcher around a mean.

    Parameters
    ----------
    rng : numpy.random.Generator
        Where chance comes from.
    base : DeliverySpec, optional
        The mean: any level of play, any sex; the published collegiate means by default.

    Returns
    -------
    DeliverySpec
        May ask for what no leg can do; `varied_delivery` draws until one can be built.

    References
    ----------
    Kageyama M et al. (2015) J Sports Sci Med 14:246-255, tables 2-4.
    """
    mean = base or DeliverySpec()
    angles: dict[str, Any] = {
        name: _around(getattr(mean, name), sd, rng) for name, sd in SPREADS.items()
    }
    return replace(
        mean,
        **angles,
        lead_in_s=mean.lead_in_s + float(rng.uniform(0.0, CLIP_START_RANGE_S)),
        hand="left" if rng.random() < LEFT_HANDED_SHARE else "right",
        height_m=float(rng.normal(mean.height_m, HEIGHT_SD_M)),
        stride_percent_height=float(rng.normal(mean.stride_percent_height, STRIDE_SD_PERCENT)),
        stride_closed_m=float(rng.normal(mean.stride_closed_m, STRIDE_CLOSED_SD_M)),
        lead_foot_closed_deg=float(rng.normal(mean.lead_foot_closed_deg, LEAD_FOOT_SD_DEG)),
        lift_to_contact_s=_within(
            rng.normal(mean.lift_to_contact_s, LIFT_TO_CONTACT_SD_S), LIFT_TO_CONTACT_RANGE_S
        ),
        contact_to_release_s=_within(
            rng.normal(mean.contact_to_release_s, CONTACT_TO_RELEASE_SD_S),
            CONTACT_TO_RELEASE_RANGE_S,
        ),
        # the speeds that the drawn angles and times ask for
        peak_pelvis_speed_deg_s=None,
        peak_shoulder_line_speed_deg_s=None,
    )


def varied_delivery(
    rng: np.random.Generator, base: DeliverySpec | None = None, rate_hz: float = 240.0
) -> SyntheticDelivery:
    """Draw pitchers until one can be built, and sample the delivery.

    Parameters
    ----------
    rng : numpy.random.Generator
        Where chance comes from.
    base : DeliverySpec, optional
        The mean; the published collegiate means by default.
    rate_hz : float, Hz
        Frames a second of the samples.

    Raises
    ------
    InputValueError
        None of `MAX_DRAWS` draws around this mean can be built.
    """
    for _ in range(MAX_DRAWS):
        try:
            return build_delivery(varied_spec(rng, base), rate_hz)
        except InputValueError:
            continue  # a draw that the legs cannot do, or a turn slower than its angles
    raise InputValueError(
        "no pitcher around this mean can be built",
        where="population of deliveries",
        remedy="change the stride, the knee angles or the tempo of the mean",
    )


def _around(
    mean: tuple[float, ...], sd: tuple[float, ...], rng: np.random.Generator
) -> tuple[float, ...]:
    """Draw values around their means that share a part of their deviation."""
    shared, own = rng.standard_normal(), rng.standard_normal(len(sd))
    deviation = np.sqrt(SHARED_SHARE) * shared + np.sqrt(1.0 - SHARED_SHARE) * own
    drawn: Array = np.array(mean) + np.array(sd) * deviation
    return tuple(drawn.tolist())


def _within(value: float, bounds: tuple[float, float]) -> float:
    return float(np.clip(value, *bounds))
