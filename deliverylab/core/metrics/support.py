"""The force under the feet, from what it does to the centre of mass.

The mean force between two instants is mass times the change of velocity over the time it took, and
what carries the weight: F / m = (v₂ − v₁) / T + g.  A mean over a time needs speeds only; an
instant's force would need an acceleration, whose direction a clip of points does not hold: in our own
simulation (2 px of noise, 240 frames a second) windows wide enough to quiet it blur the push.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

GRAVITY_M_S2 = 9.81


@dataclass(frozen=True)
class Support:
    """Mean acceleration of the centre of mass, and the support force per mass that gave it.

    Attributes
    ----------
    ahead_m_s2, up_m_s2 : float
        Mean acceleration toward the plate, and upward.
    """

    ahead_m_s2: float
    up_m_s2: float

    @property
    def angle_deg(self) -> float:
        """Lean of the support force from the vertical, toward the plate positive, degrees."""
        return math.degrees(math.atan2(self.ahead_m_s2, self.up_m_s2 + GRAVITY_M_S2))

    @property
    def size_g(self) -> float:
        """Size of the support force as a share of body weight, in the plane of motion."""
        return math.hypot(self.ahead_m_s2, self.up_m_s2 + GRAVITY_M_S2) / GRAVITY_M_S2

    def turned_deg(self, u_ahead_m_s2: float, u_up_m_s2: float) -> float:
        """Return u of the direction from independent u of the two accelerations, degrees."""
        force = self.size_g * GRAVITY_M_S2
        across = (self.up_m_s2 + GRAVITY_M_S2) * u_ahead_m_s2
        along = self.ahead_m_s2 * u_up_m_s2
        return math.degrees(math.hypot(across, along) / force**2)


def mean_support(
    before_m_s: tuple[float, float], after_m_s: tuple[float, float], took_s: float
) -> Support:
    """Return the mean support between two instants.

    Parameters
    ----------
    before_m_s, after_m_s : tuple of float
        Velocity of the centre of mass, forward and up, m/s.
    took_s : float
        Time between the two, real seconds.
    """
    return Support((after_m_s[0] - before_m_s[0]) / took_s, (after_m_s[1] - before_m_s[1]) / took_s)
