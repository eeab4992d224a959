"""What means of several deliveries, progress and a published group are worth, by our own simulation.

Run ``python tests/benchmarks/bench_progress.py [N]``.  It prints: how sure the forward trunk at release
is by the number of deliveries a side (common practice: an instructor points out about ten degrees, so U
of half of that is wanted); how often visits without a change read as changed, and a change of 1.5 times
the detectable one is found; in how many of N draws of both groups of Kageyama et al. 2015 the knee at
contact ranks above the stride.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from itertools import product
from pathlib import Path

import msgspec
import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from deliverylab.core.compare.change import detectable_between
from deliverylab.core.compare.difference import compare_parties
from deliverylab.core.compare.parties import Party
from deliverylab.core.compare.progress import progress
from deliverylab.core.metrics.evaluate import evaluate
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
N_DRAWN = 20


def thrown(
    name: str, date: str, trunk_deg: float, care: Care, rng: np.random.Generator
) -> Delivery:
    """Return a delivery filmed by one square side camera, placed around its release."""
    spec = DeliverySpec()
    synthetic = build_delivery(
        replace(spec, trunk_forward_deg=(*spec.trunk_forward_deg[:4], trunk_deg)), SET_UP.rate_hz
    )
    release = round(synthetic.events["release"] * SET_UP.rate_hz)
    frames = range(release - 3, release + 4)
    made = simulated_delivery(synthetic, SET_UP, care, rng, frames=frames).delivery
    athlete = msgspec.structs.replace(made.athlete, name=name)
    return msgspec.structs.replace(
        made, name=f"{name} {rng.integers(10**9)}", athlete=athlete, date=date
    )


def side(name: str, trunk_deg: float, n: int, care: Care, rng: np.random.Generator) -> Party:
    """Return so many deliveries of one athlete and day."""
    ones = [
        thrown(name, "2026-05-01", trunk_deg + rng.normal(0.0, THROW_SD_DEG), care, rng)
        for _ in range(n)
    ]
    return Party(name, tuple(ones))


def trunk_table(n_pairs: int) -> list[str]:
    """Return U of the difference of two athletes' trunks by deliveries a side."""
    lines = ["| deliveries a side | placing | median U | 90 % below | holds the truth | clear |"]
    lines += ["|---|---|---|---|---|---|"]
    cares = {"as judged": Care(), "own, 12 mm": Care(placing_m=0.012)}
    for (words, care), n in product(cares.items(), (1, 2, 3, 4, 5)):
        rng = np.random.default_rng(n)
        found = []
        for _ in range(n_pairs):
            a, b = side("A", FAR_DEG, n, care, rng), side("B", USUAL_DEG, n, care, rng)
            differences = compare_parties(a, b)
            found.append(next(d for d in differences if (d.metric, d.event) == TRUNK))
        U = np.array([d.expanded_u for d in found])
        d = np.array([d.d for d in found])
        holds = np.mean(np.abs(d - (FAR_DEG - USUAL_DEG)) <= U)
        clear = np.mean([each.verdict == "clear" for each in found])
        lines.append(
            f"| {n} | {words} | {np.median(U):.1f}° | {np.quantile(U, 0.9):.1f}° | "
            f"{100 * holds:.0f} % | {100 * clear:.0f} % |"
        )
    return lines


def change_table(n_athletes: int) -> list[str]:
    """Return how often a trunk without and with a change reads as changed between two visits.

    The measuring path is the program's own: each visit is filmed anew by one square side camera.
    """
    lines = ["| deliveries a visit | no change | 1.5 × detectable | usual detectable change |"]
    lines += ["|---|---|---|---|"]
    care = Care()
    for n in (3, 4, 5):
        rng = np.random.default_rng(n)
        n_dof, usual = 2 * (n - 1), []
        changed = {0.0: 0, 1.5: 0}
        for share in changed:
            for _ in range(n_athletes):
                wanted = share * (np.median(usual) if usual else 0.0)
                ones = visit_pair(n, wanted, care, rng)
                course = next(c for c in progress(ones) if (c.metric, c.event) == TRUNK)
                changed[share] += course.change.verdict == "changed"
                if share == 0.0:
                    error = course.error.sd
                    usual.append(course.change.detectable)
                    assert course.error.n_degrees_of_freedom == n_dof
                    assert detectable_between(error, n_dof, n, n)[0] <= usual[-1]
        cells = [f"{100 * changed[share] / n_athletes:.0f} %" for share in changed]
        lines.append(f"| {n} | {cells[0]} | {cells[1]} | {np.median(usual):.1f}° |")
    return lines


def visit_pair(
    n: int, change_deg: float, care: Care, rng: np.random.Generator
) -> tuple[Delivery, ...]:
    """Return two visits of one athlete, the second so much farther forward."""
    return tuple(
        thrown("A", date, trunk + rng.normal(0.0, THROW_SD_DEG), care, rng)
        for date, trunk in (("2026-05-01", FAR_DEG), ("2026-06-01", FAR_DEG + change_deg))
        for _ in range(n)
    )


def group_lines(n_draws: int) -> list[str]:
    """Return in how many draws of both groups the knee at contact ranks above the stride."""
    n_above, effects = 0, []
    for seed in range(n_draws):
        found = {(d.metric, d.event): (place, d) for place, d in enumerate(compared_groups(seed))}
        knee, stride = found["lead_knee_flexion", "foot_contact"], found["stride_length", ""]
        n_above += knee[0] < stride[0]
        effects.append([abs(d.d) / d.yardstick for _, d in (knee, stride)])
    knee, stride = np.mean(effects, axis=0)
    text = (
        f"knee at contact above stride in {n_above} of {n_draws} draws; mean effect sizes "
        f"{knee:.2f} and {stride:.2f} (published .80 and .33)"
    )
    return [text]


def main(n: int = N_DRAWN) -> None:
    """Print all of it."""
    evaluate(thrown("A", "2026-05-01", FAR_DEG, Care(), np.random.default_rng(0)))
    for lines in (trunk_table(5 * n), change_table(10 * n), group_lines(n)):
        sys.stdout.write("\n".join(lines) + f"\n(n = {n})\n\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main(*(int(argument) for argument in sys.argv[1:2]))
