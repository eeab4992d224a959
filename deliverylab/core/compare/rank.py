"""What a difference is set against, and the order of the clear ones.

References
----------
.. [1] Kageyama M et al. (2015). J Sports Sci Med 14:246-255, tables 2-4, collegiate column: spread
   between pitchers of the quantities that are defined as here, as far as the tables tell (stride as a
   share of height; knee flexion, 0 straight; trunk tilt).  Theirs are angles in space.
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
KAGEYAMA_TILT = f"{KAGEYAMA} (its axis is inferred from the values)"
SMALL_SCORE = 0.2
"""A clear difference below this share of the spread is small (Cohen 1988, small effect): it comes
last."""
NO_YARDSTICK = "no spread of the same definition published: set against its own ±"

YARDSTICKS: dict[tuple[str, str], Yardstick] = {
    ("stride_length", ""): Yardstick(4.2, KAGEYAMA),
    ("lead_knee_flexion", "foot_contact"): Yardstick(8.5, KAGEYAMA),
    ("lead_knee_flexion", "full_layback"): Yardstick(10.9, KAGEYAMA),
    ("lead_knee_flexion", "release"): Yardstick(13.7, KAGEYAMA),
    ("trunk_forward_tilt", "foot_contact"): Yardstick(4.8, KAGEYAMA_TILT),
    ("trunk_forward_tilt", "full_layback"): Yardstick(7.8, KAGEYAMA_TILT),
    ("trunk_forward_tilt", "release"): Yardstick(7.6, KAGEYAMA_TILT),
    ("lift_to_contact_time", ""): Yardstick(0.3, KAGEYAMA),
    ("ball_speed", ""): Yardstick(1.9, KAGEYAMA),
    ("drive_knee_flexion", "leg_lift"): Yardstick(6.4, KAGEYAMA),
    ("drive_knee_flexion", "foot_contact"): Yardstick(10.2, KAGEYAMA),
}
"""Only spreads whose definition is the metric's own; the zero of an angle does not touch its spread."""


def ranked(differences: list[Difference]) -> tuple[Difference, ...]:
    """Return clear differences by score with their rank, then within error, then not comparable.

    The score is |d| over the yardstick, and |d| over U(d) where there is none.  Those with a
    yardstick come first, since only they say how much a difference is among pitchers; then those
    without; then what is clear but small; last the speed of the ball, an outcome.
    """
    clear = [d for d in differences if d.verdict == "clear"]
    clear.sort(key=lambda d: (_group(d), -d.score, ORDER.get(d.event, len(ORDER))))
    clear = [msgspec.structs.replace(d, rank=number) for number, d in enumerate(clear, start=1)]
    within = [d for d in differences if d.verdict == "within_error"]
    apart = [d for d in differences if d.verdict == "not_comparable"]
    return (*clear, *within, *apart)


def _group(difference: Difference) -> int:
    """Return 0 with a yardstick, 1 without, 2 small, 3 for the outcome of the throw."""
    if difference.metric == "ball_speed":
        return 3
    if difference.yardstick is None:
        return 1
    return 0 if difference.score >= SMALL_SCORE else 2
