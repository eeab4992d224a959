from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.synthetic.curves import Curve


def test_passes_through_its_knots_with_the_given_slopes():
    curve = Curve([(0.0, 1.0), (0.4, 3.0, -2.0, 7.0), (1.0, 2.0)])
    assert curve([0.0, 0.4, 1.0]) == pytest.approx([1.0, 3.0, 2.0])
    h = 1e-5
    before, here, after = curve([0.4 - h, 0.4, 0.4 + h])
    assert (after - before) / (2 * h) == pytest.approx(-2.0, abs=1e-6)
    # second difference: rounding of 1e-16 over h squared leaves 1e-5
    assert (after - 2 * here + before) / h**2 == pytest.approx(7.0, abs=0.01)


def test_speed_and_acceleration_do_not_jump_at_knots():
    curve = Curve([(0.0, 0.0), (0.3, 1.0), (0.5, 4.0), (1.2, 5.0), (1.3, 4.0)])
    h = 1e-4
    for knot in (0.3, 0.5, 1.2):
        t = knot + h * np.array([-3, -2, -1, 0, 1, 2, 3])
        accel = np.diff(curve(t), 2) / h**2
        # third derivatives here are below 1e5, so that neighbours differ by less than 1e5 * h;
        # a jump of acceleration would show some hundreds
        assert np.max(np.abs(np.diff(accel))) < 10.0


def test_keeps_between_its_knots_where_slopes_are_free():
    curve = Curve([(0.0, 0.0), (0.5, 1.0), (0.55, 8.0), (1.5, 8.5)])
    values = curve(np.linspace(0.0, 1.5, 3001))
    assert np.all(np.diff(values) > -1e-9)


def test_holds_its_ends_and_passes_vectors():
    curve = Curve([(0.0, (0.0, 1.0)), (1.0, (2.0, 1.0))])
    assert curve([-1.0, 5.0]) == pytest.approx(np.array([[0.0, 1.0], [2.0, 1.0]]))
    assert curve([0.5])[0] == pytest.approx([1.0, 1.0])


@pytest.mark.parametrize("knots", [[(0.0, 1.0)], [(0.0, 1.0), (0.0, 2.0)]])
def test_refuses_knots_that_do_not_rise(knots):
    with pytest.raises(ValueError, match="rising time"):
        Curve(knots)
