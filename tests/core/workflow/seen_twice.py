"""A delivery of known truth in clips whose true cameras are known: what a perfect solve would leave."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.space import SolvedCamera, SpaceSolution
from deliverylab.core.synthetic.field_filming import FieldCare, Phone, film_field
from deliverylab.core.synthetic.figure import SyntheticDelivery, build_delivery
from deliverylab.core.synthetic.spec import DeliverySpec
from tests.core.metrics.solved import filmed_camera

PHONES = (Phone(view="open-side"), Phone(view="rear", rate_hz=120.0))
EXACT = FieldCare(placing_px=0.001, bias_m=0.0)
U_CAMERA = (1e-3, 1e-3, 1e-3, 0.005, 0.005, 0.005, 2e-3)
"""Three turns (rad), the place (m), the logarithm of the focal length: about what a good solve states."""
U_OFFSET_S = 1e-4


@dataclass(frozen=True)
class SeenTwice:
    """The delivery, and its truth: `start_s` of the motion is zero on the delivery's clock."""

    delivery: Delivery
    truth: SyntheticDelivery
    start_s: float

    def true_m(self, landmark, times_s):
        """Return where a landmark really is, shape (n, 3), m."""
        return self.truth.motion.positions_at(np.asarray(times_s) + self.start_s)[landmark]


def seen_twice(hand="right", care=EXACT, seed=5, phones=PHONES):
    truth = build_delivery(DeliverySpec(hand=hand), 240)
    filmed = film_field(truth, phones, np.random.default_rng(seed), care=care)
    cameras = [filmed_camera(filmed, row, phone, truth, None) for row, phone in enumerate(phones)]
    starts_s = [float(tracks.times_s[0]) for tracks in filmed.delivery.tracks]
    u = np.array(U_CAMERA * len(phones) + (U_OFFSET_S,) * (len(phones) - 1))
    space = SpaceSolution(
        cameras=tuple(
            SolvedCamera(
                name=camera.name,
                numbers=tuple(true.parameters.tolist()),
                width_px=camera.width_px,
                height_px=camera.height_px,
                offset_s=start_s + float(offset_s) - starts_s[0],
            )
            for camera, true, start_s, offset_s in zip(
                cameras, filmed.cameras, starts_s, filmed.offsets_s, strict=True
            )
        ),
        covariance=tuple(map(tuple, np.diag(u**2).tolist())),
        points_m={},
        residuals=(),
        worst_deg=0.3,
        trust="good",
        field_misfit=1.0,
    )
    delivery = Delivery(
        name="Ana 1",
        athlete=Athlete(name="Ana", hand=hand, height_m=truth.spec.height_m),
        cameras=tuple(cameras),
        space=space,
    )
    return SeenTwice(delivery, truth, starts_s[0])
