from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.cameras.body_facts import (
    INDEX,
    LIMBS,
    BodyFacts,
    chain_m,
    length_m,
    limb_lengths_m,
)
from deliverylab.core.synthetic.figure import build_delivery
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS

DELIVERY = build_delivery(DeliverySpec(height_m=1.741), rate_hz=30.0)
POINTS = np.stack([DELIVERY.positions_m[key] for key in LANDMARK_KEYS], axis=1)


def test_chain_is_that_of_the_published_lengths():
    # de Leva 1996, table 4, men: 242.9 + 603.3 + 422.2 + 434.0 mm of a stature of 1741 mm
    assert chain_m(POINTS) == pytest.approx(1.7024, abs=2e-3)
    assert BodyFacts(height_m=1.741, female_share=0.0).chain_m == pytest.approx(1.7024)


def test_limbs_keep_their_lengths():
    lengths = limb_lengths_m(POINTS)
    assert lengths.shape == (len(POINTS), len(LIMBS))
    assert np.ptp(lengths, axis=0) == pytest.approx(0.0, abs=1e-6)
    a, b = INDEX["left_hip"], INDEX["left_knee"]
    assert lengths[0, LIMBS.index((a, b))] == pytest.approx(0.4222, abs=1e-4)
    assert length_m(np.array([3.0, 4.0, 12.0])) == 13.0


def test_an_unknown_sex_widens_the_chain():
    known, unknown = BodyFacts(height_m=1.8, female_share=1.0), BodyFacts(height_m=1.8)
    assert known.u_chain_share == 0.015
    assert unknown.u_chain_share == pytest.approx(0.0187, abs=2e-4)
    assert np.isnan(BodyFacts().chain_m)
