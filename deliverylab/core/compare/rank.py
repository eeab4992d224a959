"""What a difference is set against, and the order of the clear ones.

References
----------
.. [1] Kageyama M et al. (2015). J Sports Sci Med 14:246-255, tables 2-4, collegiate column: spread
   between pitchers of quantities defined as here (ankle-to-ankle stride as a share of height;
   hip-knee-ankle flexion, 0 straight).
"""

from __future__ import annotations

from dataclasses import dataclass

import msgspec

from deliverylab.core.compare.verdict import Difference
from deliverylab.core.vocabulary.events import ORDER


@dataclass(frozen=True)
class Yardstick:
    """A published spread between pitchers, of the same definition and unit as the metric."""

    spread: float
    source: str


KAGEYAMA = "spread between college pitchers, Kageyama et al. 2015"
NO_YARDSTICK = "no spread of the same definition published: set against its own ±"

YARDSTICKS: dict[tuple[str, str], Yardstick] = {
    ("stride_length", ""): Yardstick(4.2, KAGEYAMA),
    ("lead_knee_flexion", "foot_contact"): Yardstick(8.5, KAGEYAMA),
    ("lead_knee_flexion", "full_layback"): Yardstick(10.9, KAGEYAMA),
    ("lead_knee_flexion", "release"): Yardstick(13.7, KAGEYAMA),
    ("drive_knee_flexion", "leg_lift"): Yardstick(6.4, KAGEYAMA),
    ("drive_knee_flexion", "foot_contact"): Yardstick(10.2, KAGEYAMA),
}
"""Only spreads whose definition is the metric's own; trunk tilt of the same table is left out since
its axis is inferred, not printed."""


def ranked(differences: list[Difference]) -> tuple[Difference, ...]:
    """Return clear differences by score with their rank, then within error, then not comparable.

    The score is |d| over the yardstick, and |d| over U(d) where there is none; those with a
    yardstick come first, since only they say how much a difference is among pitchers.
    """
    clear = [d for d in differences if d.verdict == "clear"]
    clear.sort(key=lambda d: (d.yardstick is None, -d.score, ORDER.get(d.event, 99)))
    clear = [msgspec.structs.replace(d, rank=number) for number, d in enumerate(clear, start=1)]
    within = [d for d in differences if d.verdict == "within_error"]
    apart = [d for d in differences if d.verdict == "not_comparable"]
    return (*clear, *within, *apart)
