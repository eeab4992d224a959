from __future__ import annotations

import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.synthetic.spec import DeliverySpec


def test_defaults_hold_the_identity_of_the_published_table():
    spec = DeliverySpec()
    # Kageyama 2015, collegiate: trunk twist = upper torso - pelvis, 10.1 -15.3 -48.2 -10.4 20.6
    twist = [s - p for s, p in zip(spec.shoulder_line_deg, spec.pelvis_deg, strict=True)]
    assert twist == pytest.approx([10.1, -15.3, -48.2, -10.4, 20.6], abs=0.051)


def test_stride_length_follows_height():
    # 84.6 % of 1.78 m; the paper prints 1.5 m
    assert DeliverySpec().stride_m == pytest.approx(1.506, abs=1e-3)


def test_key_times_rise():
    times = list(DeliverySpec().key_times().values())
    assert times == sorted(times)


@pytest.mark.parametrize(
    "wrong", [{"contact_to_plant_s": 0.12}, {"lift_to_break_s": 0.8}, {"layback_to_release_s": 0.0}]
)
def test_a_tempo_out_of_order_is_refused(wrong):
    with pytest.raises(InputValueError, match="would not follow"):
        DeliverySpec(**wrong)
