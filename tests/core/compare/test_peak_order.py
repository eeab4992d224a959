from __future__ import annotations

import math

import pytest
from msgspec.structs import replace

from deliverylab.core.compare.peak_order import FEWEST_DELIVERIES, peak_order
from deliverylab.core.synthetic.field_filming import FieldCare
from tests.core.metrics.solved import solved_delivery, true_value

CARE = FieldCare(placing_px=1.0, bias_m=0.005)


@pytest.fixture(scope="module")
def filmed():
    """Return six deliveries of figures whose shoulders are fastest well before release."""
    found = [solved_delivery(seed, care=CARE) for seed in range(14)]
    early = [each for each in found if true_value(each, "peak_shoulder_line_speed_time", "") < 60.0]
    return early[:6]


def test_the_order_of_figures_is_told(filmed):
    order = peak_order([each.delivery for each in filmed])
    assert order.absence is None
    n = len(order.deliveries)
    assert n >= FEWEST_DELIVERIES
    means = {part.name: part.mean_percent for part in order.parts}
    assert list(means) == ["pelvis", "shoulder line", "elbow"]
    elbow = [true_value(each, "peak_elbow_extension_speed_time", "") for each in filmed]
    assert means["elbow"] == pytest.approx(sum(elbow) / len(elbow), abs=3.0)
    of_arm = order.pairs[1]
    assert (of_arm.first, of_arm.second) == ("shoulder line", "elbow")
    assert of_arm.n_before + of_arm.n_after + of_arm.n_open == n
    assert of_arm.n_before >= n - 1
    assert of_arm.n_after == 0
    assert order.n_in_order <= order.pairs[0].n_before


def test_fewer_than_five_are_too_few(filmed):
    order = peak_order([each.delivery for each in filmed[:3]])
    assert order.absence.reason == "only 3 deliveries tell all peaks; 5 are needed"
    assert order.parts == ()
    assert order.pairs == ()


def test_what_does_not_tell_all_peaks_is_left_out_with_the_reason(filmed):
    flat = replace(filmed[0].delivery, name="one camera", cameras=filmed[0].delivery.cameras[:1])
    order = peak_order([flat, *(each.delivery for each in filmed)])
    assert order.left_out == {"one camera": "one camera does not show it"}
    assert "one camera" not in order.deliveries
    assert peak_order([]).absence.reason == "no deliveries tell all peaks; 5 are needed"


def test_it_goes_into_json(filmed):
    row = peak_order([each.delivery for each in filmed]).as_row()
    assert row["parts"][0]["metric"] == "peak_pelvis_speed"
    assert row["absence"] is None
    assert math.isfinite(row["parts"][2]["spread_percent"])
