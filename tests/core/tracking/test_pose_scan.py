"""Finding people in a whole picture."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest

from deliverylab.core.tracking.pose_scan import people
from tests.core.tracking.posed import RedBoxNetwork, drawn


@pytest.mark.parametrize("person", [(160, 120, 55), (60, 110, 30), (250, 140, 34), (200, 170, 20)])
def test_somebody_anywhere_and_of_any_size_is_found(person):
    found = people(RedBoxNetwork(), drawn(person))
    assert len(found) == 1
    assert (found[0].x_px, found[0].y_px) == pytest.approx(person[:2], abs=2.0)
    assert found[0].side_px == pytest.approx(5 * person[2], rel=0.1)


def test_nobody_is_found_in_an_empty_picture():
    assert people(RedBoxNetwork(), drawn()) == []


def test_two_people_are_two_the_larger_first():
    found = people(RedBoxNetwork(), drawn((60, 120, 36), (250, 120, 30)))
    assert [round(region.x_px, -1) for region in found] == [60, 250]


def test_several_threads_find_the_same_people_in_the_same_order():
    picture = drawn((60, 120, 36), (250, 120, 30))
    with ThreadPoolExecutor(2) as beside:
        assert people(RedBoxNetwork(), picture, beside) == people(RedBoxNetwork(), picture)
