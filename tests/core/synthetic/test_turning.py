from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.synthetic.turning import turning_curve

SPEC = DeliverySpec()
EVENTS = ("leg_lift", "push", "foot_contact", "full_layback", "release")


def _curve(angles, top, percent):
    return turning_curve(
        SPEC.key_times(),
        angles,
        peak_speed_deg_s=top,
        peak_percent=percent,
        set_deg=0.0,
        follow_deg=8.0,
    )


@pytest.mark.parametrize(
    # angles, peak speed: Kageyama 2015 collegiate; time of the peak: Orishimo 2023
    ("angles", "top", "percent"),
    [(SPEC.pelvis_deg, 714.0, 12.0), (SPEC.shoulder_line_deg, 1273.0, 36.0)],
)
def test_published_turn_has_its_angles_its_peak_and_the_peak_s_time(angles, top, percent):
    curve, times = _curve(angles, top, percent), SPEC.key_times()
    assert curve([times[e] for e in EVENTS]) == pytest.approx(angles)
    t = np.arange(times["push"], times["release"], 1e-4)
    speed = np.gradient(curve(t), t)
    assert speed.max() == pytest.approx(top, rel=2e-3)
    at = (t[speed.argmax()] - times["foot_contact"]) / SPEC.contact_to_release_s
    assert 100 * at == pytest.approx(percent, abs=1.0)


def test_a_peak_below_the_mean_speed_is_refused():
    with pytest.raises(InputValueError, match="too slow to turn"):
        _curve(SPEC.shoulder_line_deg, 900.0, 36.0)


@pytest.mark.parametrize("percent", [12.0, 36.0])
def test_without_a_given_peak_the_turn_takes_the_speed_it_needs(percent):
    for angles in (SPEC.shoulder_line_deg, SPEC.pelvis_deg, (-20, -30, -60, 85, 110)):
        curve, times = _curve(angles, None, percent), SPEC.key_times()
        assert curve([times[e] for e in EVENTS]) == pytest.approx(angles)
        t = np.arange(times["foot_contact"], times["full_layback"], 1e-4)
        speed = np.gradient(curve(t), t)
        mean = (angles[3] - angles[2]) / (times["full_layback"] - times["foot_contact"])
        assert mean < speed.max() < 1.5 * mean
