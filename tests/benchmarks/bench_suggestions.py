"""How near suggested events come to the true ones, and whether their u is honest.

Run ``PYTHONPATH=. python tests/benchmarks/bench_suggestions.py [N] [N_IN_SPACE]``; it prints a table in
Markdown.  Every figure is of our own simulation: varied deliveries around published means, 2 px of
placing, 10 mm constant beside the joint.  From contact to plant varied
deliveries share one time, so that is drawn as well; from layback to release they share one too, which
stays: the figure's arm cannot turn as far as drawn in another time without a second peak of speed.
"""

from __future__ import annotations

import itertools
import sys
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field, replace

import numpy as np
from msgspec.structs import replace as with_fields

from deliverylab.core.events.suggest import Suggestion
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.synthetic.figure import SyntheticDelivery
from deliverylab.core.synthetic.filming import FilmingSetUp
from deliverylab.core.synthetic.population import varied_delivery
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.vocabulary.events import EVENT_KEYS
from deliverylab.core.workflow.suggesting import suggestions
from deliverylab.core.workflow.trust_delivery import Care, simulated_delivery
from tests.core.metrics.solved import Solved, solved_delivery

CARE = Care(placing_px=2.0, clothing_m=0.010)
CONTACT_TO_PLANT_S = (0.015, 0.040)
FIRST_SEED = 3000
FAST_SHARE = 0.75
"""A ball flies off about as fast as the hand moves: where the hand has slowed below this share of its
highest forward speed by release, the figure was drawn in a way that no arm throws."""
SIDE_SET_UPS: dict[str, tuple[str, float, bool, bool]] = {
    "side, 120": ("open-side", 120.0, False, False),
    "side, 120, hand fast at release": ("open-side", 120.0, False, True),
    "side, 240": ("open-side", 240.0, False, False),
    "side, 240, hand fast at release": ("open-side", 240.0, False, True),
    "side, 240, ball tracked": ("open-side", 240.0, True, False),
    "rear, 240": ("rear", 240.0, False, False),
}


@dataclass
class Column:
    """Errors of one event's suggestions over all deliveries, ms."""

    errors: list[float] = field(default_factory=list)
    u: list[float] = field(default_factory=list)
    n_absent: int = 0

    def add(self, suggestion: Suggestion, true_s: float, start_s: float = 0.0) -> None:
        """Count one suggestion."""
        if suggestion.time_s is None or suggestion.u_s is None:
            self.n_absent += 1
            return
        self.errors.append(1e3 * (suggestion.time_s + start_s - true_s))
        self.u.append(1e3 * suggestion.u_s)

    def cell(self) -> str:
        """Return RMSE, bias, mean u, coverage, and the share found where that is not nearly all."""
        if not self.errors:
            return "–"
        errors, u = np.array(self.errors), np.array(self.u)
        cover = 100.0 * float(np.mean(np.abs(errors) <= 2.0 * u))
        text = (
            f"{np.sqrt(np.mean(errors**2)):.1f} ({np.mean(errors):+.1f}, "
            f"u {np.sqrt(np.mean(u**2)):.1f}, {cover:.0f} %)"
        )
        share = len(errors) / (len(errors) + self.n_absent)
        return text if share > 0.995 else f"{text}, found {100.0 * share:.0f} %"


def thrown(seed: int, rate_hz: float) -> SyntheticDelivery:
    """Draw a delivery, its time from contact to plant as well."""
    rng = np.random.default_rng(seed)
    base = replace(DeliverySpec(), contact_to_plant_s=float(rng.uniform(*CONTACT_TO_PLANT_S)))
    return varied_delivery(rng, base, rate_hz)


def is_fast_at_release(truth: SyntheticDelivery) -> bool:
    """Return whether the hand still moves about as fast as it ever did toward the plate."""
    hand_m = truth.positions_m[f"{truth.spec.hand}_hand"]
    speed = np.gradient(hand_m[:, 0], truth.times_s)
    before = truth.times_s > truth.events["foot_contact"]
    at_release = np.interp(truth.events["release"], truth.times_s, speed)
    return bool(at_release >= FAST_SHARE * speed[before].max())


def from_one_camera(
    view: str, rate_hz: float, has_ball: bool, is_fast: bool, n: int
) -> dict[str, Column]:
    """Film n deliveries with one camera, and suggest."""
    columns: dict[str, Column] = defaultdict(Column)
    drawn = ((seed, thrown(seed, rate_hz)) for seed in itertools.count(FIRST_SEED))
    kept = (one for one in drawn if not is_fast or is_fast_at_release(one[1]))
    for seed, truth in itertools.islice(kept, n):
        set_up = FilmingSetUp(view=view, rate_hz=rate_hz)
        delivery = simulated_delivery(truth, set_up, CARE, np.random.default_rng(seed)).delivery
        delivery = delivery if has_ball else without_ball(delivery)
        for found in suggestions(delivery, delivery.cameras[0]):
            columns[found.event].add(found, truth.events[found.event])
    return columns


def without_ball(delivery: Delivery) -> Delivery:
    """Return the delivery without positions of the ball."""
    camera = delivery.cameras[0]
    tracks = {key: track for key, track in camera.tracks.items() if key != "ball"}
    return with_fields(delivery, cameras=(with_fields(camera, tracks=tracks),))


def solved_deliveries(n: int) -> Iterator[Solved]:
    """Film and solve n deliveries with a side and a rear camera."""
    for seed in range(FIRST_SEED, FIRST_SEED + n):
        yield solved_delivery(seed)


def from_two_cameras(n: int) -> dict[str, Column]:
    """Film n deliveries with two cameras, solve them, and suggest in space."""
    columns: dict[str, Column] = defaultdict(Column)
    for solved in solved_deliveries(n):
        for found in suggestions(solved.delivery, solved.delivery.cameras[0]):
            columns[found.event].add(found, solved.truth.events[found.event], solved.starts_s[0])
    return columns


def main(n: int = 60, n_in_space: int = 40) -> None:
    """Print one table of all set-ups."""
    found = {name: from_one_camera(*how, n) for name, how in SIDE_SET_UPS.items()}
    if n_in_space:
        found["side + rear solved, 240"] = from_two_cameras(n_in_space)
    lines = [f"| ms | {' | '.join(found)} |", f"|---|{'---|' * len(found)}"]
    for event in EVENT_KEYS:
        cells = " | ".join(columns[event].cell() for columns in found.values())
        lines.append(f"| {event.replace('_', ' ')} | {cells} |")
    lines.append(f"\nRMSE (bias, mean u, share within 2 u); n = {n}, two cameras {n_in_space}")
    sys.stdout.write("\n".join(lines) + "\n")


if __name__ == "__main__":
    main(*(int(argument) for argument in sys.argv[1:3]))
