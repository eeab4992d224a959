from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from PySide6.QtGui import QColor, QFont, QFontMetricsF

from deliverylab.shell.drawing.scrub_paint import (
    KEEP_NAMES,
    WAITING_APART,
    coverage_image,
    flag_rects,
    trim_rects,
    waiting_places,
)
from deliverylab.shell.drawing.scrub_scene import ScrubLayout, ScrubRow, ScrubScene

MARKS = {
    "leg_lift": 0.4,
    "hand_break": 0.75,
    "foot_contact": 1.125,
    "foot_plant": 1.15,
    "full_layback": 1.23,
    "release": 1.275,
    "finish": 1.33,
}
AXIS = np.arange(390) / 240.0


def scene_of(**trim) -> ScrubScene:
    trim = {"first_frame": 0, "last_frame": 389} | trim
    return ScrubScene((ScrubRow("athlete", "Bo", AXIS, AXIS, np.zeros(390), MARKS, **trim),))


@pytest.mark.parametrize("unit", [1.0, 1.5])
@pytest.mark.parametrize("width", [420.0, 620.0, 900.0, 1500.0])
def test_names_of_events_never_overlap_and_stay_over_their_flags(qapp, width, unit):
    layout = ScrubLayout(width, 240.0, *scene_of().whole_span, 1, unit)
    font = QFont()
    font.setPointSizeF(9.0 * unit)
    rects = flag_rects(scene_of(), layout, "athlete", QFontMetricsF(font))
    for one, other in combinations(rects.values(), 2):
        assert not one.intersects(other)
    for key, rect in rects.items():
        assert rect.left() - 5.0 <= layout.x_of(MARKS[key]) <= rect.right() + 5.0
        assert rect.right() <= width
        assert rect.bottom() <= layout.flags_height
    assert "foot_contact" in rects
    if (width, unit) == (1500.0, 1.0):
        assert set(rects) == set(KEEP_NAMES)


def test_handles_of_the_trim_stand_outside_it():
    scene = scene_of(first_frame=40, last_frame=300)
    layout = ScrubLayout(900.0, 240.0, *scene.used_span, 1)
    rects = trim_rects(scene.rows[0], layout, 0)
    assert rects["start"].right() < layout.x_of(AXIS[40])
    assert rects["end"].left() > layout.x_of(AXIS[300])
    zoomed = ScrubLayout(900.0, 240.0, 0.6, 0.8, 1)
    assert trim_rects(scene.rows[0], zoomed, 0) == {}


def alphas(image):
    return np.array(
        [
            [image.pixelColor(x, y).alpha() for x in range(image.width())]
            for y in range(image.height())
        ]
    )


def test_what_a_machine_made_is_striped_above_what_was_placed(qapp):
    hue = QColor("white")
    columns = np.full(12, 1.0)
    seen = alphas(coverage_image(columns, np.full(12, 0.5), 16, hue))
    assert set(seen[8:].ravel()) == {190}
    assert set(seen[:8].ravel()) == {150, 60}
    assert all(set(row) == {150, 60} for row in seen[:8])
    all_placed = alphas(coverage_image(columns, columns, 16, hue))
    assert set(all_placed.ravel()) == {190}


def test_triangles_point_at_waiting_frames_and_never_touch():
    scene = scene_of(waiting_frames=(50, 51, 52, 200))
    row = scene.rows[0]
    layout = ScrubLayout(900.0, 240.0, *scene.used_span, 1)
    places = waiting_places(row, layout)
    assert places[0] == pytest.approx(layout.x_of(AXIS[50]))
    assert places[-1] == pytest.approx(layout.x_of(AXIS[200]))
    assert min(np.diff(places)) >= WAITING_APART
    assert waiting_places(row, ScrubLayout(900.0, 240.0, 1.0, 1.2, 1)) == []
