from __future__ import annotations

import math

import msgspec
import pytest

from deliverylab.core.compare.shared_errors import Taken, is_own, own_u, shared_parts
from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.remedies import REMEDIES
from deliverylab.core.metrics.spec import Contribution
from deliverylab.core.synthetic.spec import DeliverySpec
from tests.core.compare.thrown import DEPTH, YAW, delivery, knee, taken
from tests.published.filmed import filmed


def _sum(parts):
    return math.sqrt(sum(u**2 for u in parts.values()))


def test_placing_and_marking_err_anew_and_the_camera_does_not():
    of = delivery("Ana 1")
    assert own_u(knee(of, 40.0, own=2.0, yaw=1.0, depth=0.5)) == pytest.approx(2.0)
    assert is_own(Contribution("marking foot contact", 0.01))
    assert not is_own(Contribution(YAW, 1.0))


def test_what_one_camera_filmed_on_one_day_errs_alike():
    # three results with 1° each by the yaw: their mean has 1° by it, not 1°/√3
    parts = shared_parts(taken([40.0, 41.0, 42.0], yaw=1.0))
    assert parts.keys() == {key for key in parts if key[0] == YAW}
    assert _sum(parts) == pytest.approx(1.0)


def test_a_camera_that_stands_anew_errs_anew():
    days = [delivery("Ana 1"), delivery("Ana 2", date="2026-06-01")]
    parts = shared_parts([Taken(one, knee(one, 40.0, yaw=1.0)) for one in days])
    assert _sum(parts) == pytest.approx(1.0 / math.sqrt(2.0))
    turned = [delivery("Ana 1"), delivery("Ana 2", yaw_deg=4.0)]
    parts = shared_parts([Taken(one, knee(one, 40.0, yaw=1.0)) for one in turned])
    assert _sum(parts) == pytest.approx(1.0 / math.sqrt(2.0))


def test_what_a_view_hides_of_an_athlete_errs_alike_on_any_day():
    days = [delivery("Ana 1"), delivery("Ana 2", date="2026-06-01")]
    parts = shared_parts([Taken(one, knee(one, 40.0, depth=1.0)) for one in days])
    assert _sum(parts) == pytest.approx(1.0)
    views = [delivery("Ana 1"), delivery("Ana 2", view="closed-side")]
    parts = shared_parts([Taken(one, knee(one, 40.0, depth=1.0)) for one in views])
    assert _sum(parts) == pytest.approx(1.0 / math.sqrt(2.0))
    people = [delivery("Ana 1"), delivery("Ben 1", athlete="Ben")]
    parts = shared_parts([Taken(one, knee(one, 40.0, depth=1.0)) for one in people])
    assert _sum(parts) == pytest.approx(1.0 / math.sqrt(2.0))
    assert {source for source, _ in parts} == {DEPTH}


def test_every_source_of_a_budget_is_either_kind():
    of = filmed("Ana 1", DeliverySpec(), u_px=math.nan)
    for result in evaluate(of):
        if not result.is_shown:
            continue
        shared = _sum(shared_parts([Taken(of, result)]))
        assert math.hypot(own_u(result), shared) == pytest.approx(result.u)
    assert any(not is_own(Contribution(source, 1.0)) for source in REMEDIES)


def test_a_scale_clicked_anew_is_one_more_click_and_the_same_stick():
    one = delivery("Ana 1")
    camera = one.cameras[0]
    scale = msgspec.structs.replace(camera.scale, a=camera.scale.b, b=camera.scale.a)
    other = msgspec.structs.replace(
        delivery("Ana 2"), cameras=(msgspec.structs.replace(camera, scale=scale),)
    )
    lines = (Contribution("scale points", 1.0), Contribution("scale length", 1.0))
    parts = shared_parts([Taken(each, knee(each, 40.0, budget=lines)) for each in (one, other)])
    by_source = {
        source: _sum({k: u for k, u in parts.items() if k[0] == source}) for source, _ in parts
    }
    assert by_source["scale points"] == pytest.approx(1.0 / math.sqrt(2.0))
    assert by_source["scale length"] == pytest.approx(1.0)
