from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.cameras.control import pole, standard_field
from deliverylab.core.cameras.evidence_field import (
    CameraSetUp,
    ClickEvidence,
    known_set_up,
    measured_places,
)
from deliverylab.core.cameras.unknowns import Unknowns
from deliverylab.core.synthetic.camera import camera_for_view
from deliverylab.core.vocabulary.field import BY_KEY

POINTS = (*standard_field(BY_KEY["baseball"]), *pole("pole", None, 2.0))
UNKNOWNS = Unknowns(
    sizes_px=((1280, 720),),
    radials=(0.0,),
    n_deliveries=0,
    point_keys=tuple(point.key for point in POINTS),
)
CAMERA = camera_for_view("open-side", "right", distance_m=7.0, focal_px=1300.0)
PLACES = np.array([point.place_m for point in POINTS])
VECTOR = np.concatenate([CAMERA.parameters, PLACES.ravel()])


def set_up(**changes):
    clicks = {p.key: tuple(CAMERA.project(np.array(p.place_m)).tolist()) for p in POINTS[:6]}
    known = {"name": "side", "azimuth_deg": 90.0, "size_px": (1280, 720), "focal_px": 1300.0}
    return CameraSetUp(**{**known, "clicks_px": clicks, **changes})


def test_clicks_at_the_truth_leave_nothing_and_have_right_slopes():
    clicks = ClickEvidence(UNKNOWNS, 0, set_up())
    assert clicks.residuals(VECTOR) == pytest.approx(np.zeros(12), abs=1e-9)
    slopes = clicks.jacobian(VECTOR)
    for column in (0, 2, 4, 6, 7, 20):
        step = 1e-6 * (np.arange(UNKNOWNS.n) == column)
        by_step = (clicks.residuals(VECTOR + step) - clicks.residuals(VECTOR - step)) / 2e-6
        assert slopes[:, column] == pytest.approx(by_step, abs=1e-4)


def test_a_click_of_half_the_u_counts_twice():
    sure = ClickEvidence(UNKNOWNS, 0, set_up(u_click_px=0.5))
    plain = ClickEvidence(UNKNOWNS, 0, set_up())
    moved = VECTOR + 0.01 * (np.arange(UNKNOWNS.n) == 4)
    assert sure.residuals(moved) == pytest.approx(2.0 * plain.residuals(moved))


def test_tape_holds_what_it_measured_and_a_pole_s_top_its_foot():
    tape = measured_places(UNKNOWNS, POINTS)
    # six known points and the top against its foot; the foot itself is anywhere
    assert len(tape.rows) == 21
    assert tape.residuals(VECTOR) == pytest.approx(np.zeros(21), abs=1e-9)
    both = np.zeros(UNKNOWNS.n)
    for key in ("pole_foot", "pole_top"):
        both[UNKNOWNS.point_columns(key)] = [1.0, 2.0, 0.5]
    assert tape.residuals(VECTOR + both) == pytest.approx(np.zeros(21), abs=1e-9)
    cone = 0.01 * (np.arange(UNKNOWNS.n) == UNKNOWNS.point_columns("cone_left").start)
    assert np.sum(np.abs(tape.residuals(VECTOR + cone))) == pytest.approx(1.0)


def test_lens_and_level_are_evidence_unless_nobody_looked():
    assert [row.kind for row in known_set_up(UNKNOWNS, [set_up()]).rows] == [
        "focal",
        "level",
        "level",
    ]
    free = known_set_up(UNKNOWNS, [set_up(u_level_deg=np.inf, focal_px=1300.0 * np.e**0.1)])
    assert len(free.rows) == 1
    assert free.residuals(VECTOR) == pytest.approx([-1.0])
