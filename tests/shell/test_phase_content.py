"""Both deliveries on one axis of per cents."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.model.changes import SetDelivery
from deliverylab.shell.phase_content import FIRST_PERCENT, LAST_PERCENT, NO_PHASE, phase_scene
from tests.shell.conftest import MARKS_A, MARKS_B, SCALE, delivery_of, figure_tracks


@pytest.fixture
def full_pair(session):
    for name, marks in (("Bo 1", MARKS_A), ("Kim", MARKS_B)):
        tracks = figure_tracks(list(range(240)))
        delivery = delivery_of(name, marks=marks, scale=SCALE, tracks=tracks)
        session.project.apply(SetDelivery(name=name, delivery=delivery))
    session.set_pair("Bo 1", "Kim")
    return session


def test_events_in_common_lie_over_each_other(full_pair):
    scene = phase_scene(full_pair, "trunk_forward_tilt")
    for row in scene.rows:
        assert row.marks == pytest.approx(
            {"leg_lift": 0.0, "foot_contact": 100.0, "release": 200.0}
        )
        inside = row.axis[[row.first_frame, row.last_frame]]
        assert FIRST_PERCENT <= inside[0] < inside[1] <= LAST_PERCENT
        assert not row.has_movable_marks
        assert not row.is_trimmable


def test_each_curve_has_its_band_and_the_readings_own_values(full_pair):
    scene = phase_scene(full_pair, "trunk_forward_tilt")
    assert scene.has_all_bands
    assert [curve.side for curve in scene.curves] == ["athlete", "model"]
    curve = full_pair.curve("model", "trunk_forward_tilt")
    drawn = scene.curves[1]
    assert drawn.values == pytest.approx(curve.values)
    assert drawn.u == pytest.approx(curve.u)
    at_contact = np.interp(100.0, drawn.axis, drawn.values)
    assert at_contact == pytest.approx(
        np.interp(MARKS_B["foot_contact"], curve.times_s, curve.values)
    )


def test_a_delivery_without_phase_is_left_out_and_the_reason_said(full_pair):
    for event in ("leg_lift", "foot_contact"):
        full_pair.remove_mark("model", event)
    scene = phase_scene(full_pair, "trunk_forward_tilt")
    assert [row.side for row in scene.rows] == ["athlete"]
    assert scene.reason == NO_PHASE
