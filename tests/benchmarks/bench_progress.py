"""What means of several deliveries, progress and a published group are worth, by our own simulation.

Run ``python tests/benchmarks/bench_progress.py [N]``.  It prints: how sure the forward trunk at release
is by the number of deliveries a side (common practice: an instructor points out about ten degrees, so U
of half of that is wanted); how often visits without a change read as changed, and a change of 1.5 times
the detectable one is found; in how many of N draws of both groups of Kageyama et al. 2015 the knee at
contact ranks above the stride.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import replace
from itertools import product
from pathlib import Path

import msgspec
import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from deliverylab.core.compare.change import ChangeOfMean
from deliverylab.core.compare.difference import compare_parties
from deliverylab.core.compare.parties import Party
from deliverylab.core.compare.progress import progress
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.synthetic.figure import build_delivery
from deliverylab.core.synthetic.filming import FilmingSetUp
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.workflow.trust_delivery import Care, simulated_delivery
from tests.published.groups_thrown import compared_groups

TRUNK = ("trunk_forward_tilt", "release")
USUAL_DEG, FAR_DEG, THROW_SD_DEG = 25.4, 15.4, 1.5
"""Trunk of either athlete, and how far one throw of an athlete is from the next: judgement."""
SET_UP = FilmingSetUp()
N_DRAWN, N_THROWS = 20, 40


class Thrower:
    """An athlete whose trunk differs a little from throw to throw, filmed by one square side camera."""

    def __init__(self, name: str, trunk_deg: float) -> None:
        rng = np.random.default_rng(round(10 * trunk_deg))
        spec = DeliverySpec()
        self.name = name
        self._drawn = [
            build_delivery(
                replace(spec, trunk_forward_deg=(*spec.trunk_forward_deg[:4], trunk)),
                SET_UP.rate_hz,
            )
            for trunk in rng.normal(trunk_deg, THROW_SD_DEG, N_THROWS)
        ]

    def thrown(self, n: int, date: str, care: Care, rng: np.random.Generator) -> list[Delivery]:
        """Return n deliveries of a day, placed around their release."""
        made = []
        for number in range(n):
            synthetic = self._drawn[rng.integers(N_THROWS)]
            release = round(synthetic.events["release"] * SET_UP.rate_hz)
            frames = range(release - 2, release + 3)
            one = simulated_delivery(synthetic, SET_UP, care, rng, frames=frames).delivery
            athlete = msgspec.structs.replace(one.athlete, name=self.name)
            name = f"{self.name} {date} {number}"
            made.append(msgspec.structs.replace(one, name=name, athlete=athlete, date=date))
        return made


def trunk_table(n_pairs: int) -> Iterator[str]:
    """Return U of the difference of two athletes' trunks by deliveries a side."""
    yield "| deliveries a side | placing | median U | 90 % below | holds the truth | clear |"
    yield "|---|---|---|---|---|---|"
    cares = {"as judged": Care(), "own, 12 mm": Care(placing_m=0.012)}
    throwers = Thrower("A", FAR_DEG), Thrower("B", USUAL_DEG)
    for (words, care), n in product(cares.items(), (1, 2, 3, 4, 5)):
        rng = np.random.default_rng(n)
        found = []
        for _ in range(n_pairs):
            a, b = (
                Party(each.name, tuple(each.thrown(n, "2026-05-01", care, rng)))
                for each in throwers
            )
            differences = compare_parties(a, b)
            found.append(next(d for d in differences if (d.metric, d.event) == TRUNK))
        U = np.array([d.expanded_u for d in found])
        d = np.array([d.d for d in found])
        holds = np.mean(np.abs(d - (FAR_DEG - USUAL_DEG)) <= U)
        clear = np.mean([each.verdict == "clear" for each in found])
        yield (
            f"| {n} | {words} | {np.median(U):.1f}° | {np.quantile(U, 0.9):.1f}° | "
            f"{100 * holds:.0f} % | {100 * clear:.0f} % |"
        )


def change_table(n_athletes: int) -> Iterator[str]:
    """Return how often a trunk without and with a change reads as changed between two visits.

    The measuring path is the program's own: each visit is filmed anew by one square side camera.
    """
    yield "| deliveries a visit | no change | 1.5 × detectable | usual detectable change |"
    yield "|---|---|---|---|"
    care, before = Care(), Thrower("A", FAR_DEG)
    for n in (3, 4, 5):
        rng = np.random.default_rng(n)
        same = _changes(before, before, n, n_athletes, care, rng)
        usual = float(np.median([change.detectable for change in same]))
        after = Thrower("A", FAR_DEG + 1.5 * usual)
        other = _changes(before, after, n, n_athletes, care, rng)
        cells = [
            f"{100 * np.mean([change.verdict == 'changed' for change in found]):.0f} %"
            for found in (same, other)
        ]
        yield f"| {n} | {cells[0]} | {cells[1]} | {usual:.1f}° |"


def _changes(
    before: Thrower, after: Thrower, n: int, n_athletes: int, care: Care, rng: np.random.Generator
) -> list[ChangeOfMean]:
    found = []
    for _ in range(n_athletes):
        ones = before.thrown(n, "2026-05-01", care, rng) + after.thrown(n, "2026-06-01", care, rng)
        course = next(each for each in progress(ones) if (each.metric, each.event) == TRUNK)
        if course.change is not None:
            found.append(course.change)
    return found


def group_lines(n_draws: int) -> Iterator[str]:
    """Return in how many draws of both groups the knee at contact ranks above the stride."""
    n_above, effects = 0, []
    for seed in range(n_draws):
        found = {(d.metric, d.event): (place, d) for place, d in enumerate(compared_groups(seed))}
        knee, stride = found["lead_knee_flexion", "foot_contact"], found["stride_length", ""]
        n_above += knee[0] < stride[0]
        effects.append([abs(d.d) / d.yardstick for _, d in (knee, stride)])
    knee, stride = np.mean(effects, axis=0)
    yield (
        f"knee at contact above stride in {n_above} of {n_draws} draws; mean effect sizes "
        f"{knee:.2f} and {stride:.2f} (published .80 and .33)"
    )


def main(n: int = N_DRAWN) -> None:
    """Print all of it."""
    for lines in (trunk_table(5 * n), change_table(10 * n), group_lines(n)):
        for line in lines:
            sys.stdout.write(f"{line}\n")
            sys.stdout.flush()
        sys.stdout.write("\n")


if __name__ == "__main__":
    main(*(int(argument) for argument in sys.argv[1:2]))
