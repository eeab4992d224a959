from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.synthetic.lower_body import step
from deliverylab.core.synthetic.proportions import proportions
from deliverylab.core.synthetic.spec import DeliverySpec

SPEC = DeliverySpec()


def test_hips_and_feet_at_leg_lift():
    legs = step(SPEC, proportions(SPEC.height_m, SPEC.sex))
    now = legs.at(np.array([SPEC.key_times()["leg_lift"]]))
    assert now["mid_hip"] == pytest.approx(0.5 * (now["drive_hip"] + now["lead_hip"]))
    # the thigh is raised as asked, and the lead side faces the plate
    thigh = (now["lead_knee"] - now["lead_hip"])[0]
    rise = np.degrees(np.arctan2(thigh[2], np.hypot(*thigh[:2])))
    assert rise == pytest.approx(SPEC.lead_thigh_rise_deg, abs=1e-6)
    assert now["lead_hip"][0, 0] > now["drive_hip"][0, 0]
    assert set(now) >= {f"{leg}_{part}" for leg in ("drive", "lead") for part in ("knee", "toe")}


def test_knees_never_bend_backward():
    legs = step(SPEC, proportions(SPEC.height_m, SPEC.sex))
    now = legs.at(np.linspace(0.0, 1.6, 200))
    for leg in ("drive", "lead"):
        ahead = now[f"{leg}_knee"] - 0.5 * (now[f"{leg}_hip"] + now[f"{leg}_ankle"])
        foot = now[f"{leg}_toe"] - now[f"{leg}_heel"]
        span = now[f"{leg}_ankle"] - now[f"{leg}_hip"]
        span /= np.linalg.norm(span, axis=1, keepdims=True)
        foot -= np.sum(foot * span, axis=1, keepdims=True) * span
        assert np.all(np.sum(ahead * foot, axis=1) > -0.02)
