"""What a speed or a fall that is off says of the capture rate and of the scale."""

from __future__ import annotations

import math
from dataclasses import dataclass

HARDEST_M_S = 45.0
"""The hardest deliveries of adult professionals: 43 to 45 m/s, 96 to 100 mph (common practice)."""
RATE_FACTORS = (8.0, 4.0, 2.0, 0.5, 0.25, 0.125)
"""Factors by which a capture rate is misread: a slow-motion file, or frames left out."""
FACTOR_SLACK = 0.12
"""How far off such a factor may be: scale and depth are never off by more than that unnoticed."""


@dataclass(frozen=True)
class Agreement:
    """Two readings of one speed.

    Attributes
    ----------
    difference_m_s : float
        First less second.
    e_n : float
        |difference| over the root of the squares of both U; up to 1 they agree.
    hint : str
        What is likely wrong, where they do not.
    rate_factor : float or None
        Likely true rate over assumed rate, where that explains the difference.

    References
    ----------
    .. [1] ISO 13528:2022, 9.7 (E_n scores).
    """

    difference_m_s: float
    e_n: float
    hint: str = ""
    rate_factor: float | None = None

    @property
    def is_agreeing(self) -> bool:
        """Whether the two differ by no more than their U."""
        return self.e_n <= 1.0


def radar_agreement(
    speed_m_s: float, expanded_u: float, radar_m_s: float, radar_expanded_u: float, rate_hz: float
) -> Agreement:
    """Compare the speed from the clip with a radar reading.

    Parameters
    ----------
    speed_m_s, expanded_u : float
        From the clip, at release.
    radar_m_s, radar_expanded_u : float
        From the gun.
    rate_hz : float
        The rate that the speed from the clip was worked out with.
    """
    difference = speed_m_s - radar_m_s
    e_n = abs(difference) / math.hypot(expanded_u, radar_expanded_u)
    if e_n <= 1.0:
        return Agreement(difference, e_n)
    factor = radar_m_s / speed_m_s
    hint = rate_hint(factor, rate_hz) or scale_hint(speed_m_s / radar_m_s)
    return Agreement(difference, e_n, hint, usual_rate_factor(factor))


def usual_rate_factor(factor: float) -> float | None:
    """Return the usual factor of a misread capture rate that a factor is near; None if none is.

    Parameters
    ----------
    factor : float
        True speed over measured speed: true rate over assumed rate.
    """
    near = (usual for usual in RATE_FACTORS if abs(factor / usual - 1.0) <= FACTOR_SLACK)
    return next(near, None)


def rate_hint(factor: float, rate_hz: float) -> str:
    """Return the likely capture rate where times are off by a usual factor; else nothing.

    Parameters
    ----------
    factor : float
        True speed over measured speed: true rate over assumed rate.
    rate_hz : float
        Assumed rate.
    """
    usual = usual_rate_factor(factor)
    if usual is None:
        return ""
    return f"the capture rate is likely {rate_hz * usual:.4g}, not {rate_hz:.4g}"


def scale_hint(factor: float) -> str:
    """Return what a length that comes out wrong by a factor says."""
    way = "long" if factor > 1.0 else "short"
    return (
        f"lengths may come out {abs(factor - 1.0):.0%} too {way}: check the two scale points, their "
        "distance, and that they lie where the ball flies"
    )
