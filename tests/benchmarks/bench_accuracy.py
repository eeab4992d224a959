"""How near the truth one camera comes: error and coverage on varied deliveries of known truth.

Run ``python tests/benchmarks/bench_accuracy.py [N]``; it prints a table in Markdown.  Figures are of
our own simulation: varied deliveries around published means, a known camera, positions with 2 px of
noise whose u is stated, the yaw and distance as stated on average but not exactly.
"""

from __future__ import annotations

import sys
from collections import defaultdict
from dataclasses import replace as dataclass_replace
from pathlib import Path

import msgspec
import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "core" / "metrics"))
from conftest import film_delivery

from deliverylab.core.errors import InputValueError
from deliverylab.core.metrics.catalogue import BY_KEY
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.synthetic.spec import DeliverySpec

NOISE_PX = 2.0
U_YAW_DEG = 2.0
U_DISTANCE = 0.05
SET_UPS = {
    "side, square, 10 m": {"view": "open-side", "distance_m": 10.0},
    "side, 10° off, 10 m": {"view": "open-side", "distance_m": 10.0, "yaw_deg": 10.0},
    "side, square, 5 m": {"view": "open-side", "distance_m": 5.0},
    "rear, square, 10 m": {"view": "rear", "distance_m": 10.0},
}


def varied(rng: np.random.Generator) -> DeliverySpec:
    """Return a delivery around the published means, spread as pitchers are.

    Spreads: Kageyama et al. 2015, J Sports Sci Med 14:246-255, collegiate column, where printed.
    """
    base = DeliverySpec()

    def around(values, spread):
        return tuple(np.array(values) + rng.normal(0.0, spread))

    return dataclass_replace(
        base,
        hand=str(rng.choice(["left", "right"])),
        height_m=float(rng.normal(1.78, 0.06)),
        stride_percent_height=float(rng.normal(84.6, 4.2)),
        stride_closed_m=float(rng.normal(0.10, 0.06)),
        pelvis_deg=around(base.pelvis_deg, 9.0),
        shoulder_line_deg=around(base.shoulder_line_deg, 9.0),
        trunk_forward_deg=around(base.trunk_forward_deg, 6.0),
        trunk_lateral_deg=tuple(
            np.array(base.trunk_lateral_deg) + rng.normal(0.0, 7.0) * np.array([0, 0.3, 1, 1])
        ),
        lead_knee_flexion_deg=tuple(
            np.array(base.lead_knee_flexion_deg)
            + rng.normal(0.0, 8.0) * np.array([0.5, 0.5, 1, 1, 1])
        ),
        lift_to_contact_s=float(np.clip(rng.normal(0.9, 0.15), 0.6, 1.3)),
        contact_to_release_s=float(np.clip(rng.normal(0.145, 0.012), 0.115, 0.18)),
    )


def as_stated(filmed, rng: np.random.Generator):
    """Return the delivery with the camera's yaw and distance stated as well as a person can."""
    camera = filmed.delivery.cameras[0]
    scale = msgspec.structs.replace(
        camera.scale,
        yaw_deg=camera.scale.yaw_deg + rng.normal(0.0, U_YAW_DEG),
        u_yaw_deg=U_YAW_DEG,
        distance_m=camera.scale.distance_m * (1.0 + rng.normal(0.0, U_DISTANCE)),
    )
    camera = msgspec.structs.replace(camera, scale=scale)
    return msgspec.structs.replace(filmed.delivery, cameras=(camera,))


def one_delivery(filmed, rng: np.random.Generator) -> dict[tuple[str, str], tuple[float, bool]]:
    """Return the error of every shown result, and whether U covers it."""
    found = {}
    for result in evaluate(as_stated(filmed, rng)):
        spec = BY_KEY[result.metric]
        if result.is_shown and spec.kind != "given":
            error = result.value - filmed.true_value(spec, result.event)
            found[result.metric, result.event] = (error, abs(error) <= result.expanded_u)
    return found


def main(n_deliveries: int = 60) -> None:
    """Print the table."""
    table = defaultdict(dict)
    for name, set_up in SET_UPS.items():
        rng = np.random.default_rng(7)
        errors, covered = defaultdict(list), defaultdict(list)
        done = 0
        while done < n_deliveries:
            try:
                filmed = film_delivery(
                    varied(rng), noise_px=NOISE_PX, u_px=NOISE_PX, seed=done, **set_up
                )
                found = one_delivery(filmed, rng)
            except InputValueError:
                continue  # a draw that the legs cannot do
            done += 1
            for key, (error, is_covered) in found.items():
                errors[key].append(error)
                covered[key].append(is_covered)
        for key, values in errors.items():
            rmse = float(np.sqrt(np.mean(np.square(values))))
            share = 100.0 * len(values) / n_deliveries
            table[key][name] = (rmse, 100.0 * float(np.mean(covered[key])), share)
    print(f"| metric | event | {' | '.join(SET_UPS)} |")
    print(f"|---|---|{'---|' * len(SET_UPS)}")
    for (metric, event), columns in table.items():
        digits = BY_KEY[metric].decimals + 1
        cells = [
            f"{columns[n][0]:.{digits}f} ({columns[n][1]:.0f} %, {columns[n][2]:.0f} %)"
            if n in columns
            else "–"
            for n in SET_UPS
        ]
        print(f"| {metric} ({BY_KEY[metric].unit}) | {event} | {' | '.join(cells)} |")
    print(f"\nRMSE (coverage of the 95 % interval, share shown); n = {n_deliveries}")


if __name__ == "__main__":
    main(*(int(argument) for argument in sys.argv[1:2]))
