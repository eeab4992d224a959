from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.model.changes import replace
from deliverylab.core.model.precision import PlacedAgain, PlacingRun
from deliverylab.core.workflow.precision_people import (
    Spot,
    people_of,
    repeat_tables,
    shared_tables,
    spots_by_part,
)
from tests.core.workflow.placing import demo_project, pixel_size_m

PLACED = (
    PlacedAgain("side", 40, "neck", 110.0, 200.0, 100.0, 210.0),
    PlacedAgain("side", 40, "neck", 104.0, 206.0, 100.0, 210.0),
)


@pytest.fixture
def delivery():
    return demo_project().record.deliveries[0]


def _with(delivery, *runs):
    return replace(delivery, placing_runs=runs)


def test_places_are_metres_toward_the_plate_and_up(delivery):
    size_m = pixel_size_m(demo_project())
    run = PlacingRun(name="a", placer="Sam", date="2026-05-01", placed=PLACED)
    people, sizes = people_of([_with(delivery, run)])
    spot = Spot(delivery.name, "side", 40, "neck")
    assert sizes == {spot: size_m}
    sign = -1.0 if delivery.plate_side(delivery.cameras[0]) == "left" else 1.0
    (forward,), (up,) = repeat_tables(people["Sam"], [spot])
    assert forward == pytest.approx(sign * size_m * np.array([100.0, 110.0, 104.0]))
    assert up == pytest.approx(-size_m * np.array([210.0, 200.0, 206.0]))
    assert (people["Sam"].n_runs, people["Sam"].date) == (1, "2026-05-01")


def test_the_same_original_of_two_runs_counts_once_and_for_its_owner(delivery):
    runs = [
        PlacingRun(name=name, placer=name, original_placer="Sam", placed=PLACED[:1])
        for name in ("Kim", "Lee")
    ]
    people, _ = people_of([_with(delivery, *runs)])
    assert {name: sum(map(len, p.places_m.values())) for name, p in people.items()} == {
        "Sam": 1, "Kim": 1, "Lee": 1,
    }  # fmt: skip
    assert people["Sam"].repeated == ()
    spot = Spot(delivery.name, "side", 40, "neck")
    table = shared_tables(people["Sam"], people["Kim"], [spot])
    assert table.shape == (2, 1, 2)
    size_m = pixel_size_m(demo_project())
    assert abs(table[0, 0, 1] - table[0, 0, 0]) == pytest.approx(10.0 * size_m)


def test_cameras_that_are_gone_or_without_size_are_left_out(delivery):
    gone = PlacingRun(name="a", placer="Sam", placed=(PlacedAgain("top", 4, "neck", 1.0, 2.0),))
    bare = replace(delivery.cameras[0], scale=None, tracks={})
    run = PlacingRun(name="b", placer="Sam", placed=PLACED)
    assert people_of([_with(delivery, gone)]) == ({}, {})
    assert people_of([_with(replace(delivery, cameras=(bare,)), run)]) == ({}, {})


def test_spots_are_grouped_in_the_order_of_the_body():
    parts = {"neck": "neck", "left_hip": "hip", "right_hip": "hip"}
    hips, neck = (
        [Spot("a", "b", 1, f"{s}_hip") for s in ("right", "left")],
        Spot("a", "b", 1, "neck"),
    )
    assert spots_by_part([*hips, neck], parts) == {"neck": [neck], "hip": hips}
