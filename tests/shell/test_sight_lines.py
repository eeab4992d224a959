from __future__ import annotations

import math

from deliverylab.shell.sight_lines import sight_lines
from tests.shell.filmed_twice import filmed_twice

__all__ = ["filmed_twice"]


def _at(session, frame, landmark):
    session.select("athlete", "Ana 3", "rear")
    session.show_frame("athlete", frame)
    session.choose_landmark("athlete", landmark)


def test_a_landmark_asked_for_has_its_line_in_words(filmed_twice):
    _at(filmed_twice, 150, "left_wrist")
    placed = filmed_twice.camera("athlete").track("left_wrist").at(150)
    filmed_twice.remove_landmark("athlete", "left_wrist")
    filmed_twice.choose_landmark("athlete", "left_wrist")
    (line,) = sight_lines(filmed_twice, "athlete")
    assert line.text == "on this line, after open-side"
    assert line.placed is None
    (ax, ay), (bx, by) = line.a, line.b
    length = math.hypot(bx - ax, by - ay)
    off = abs((bx - ax) * (placed.y_px - ay) - (by - ay) * (placed.x_px - ax)) / length
    assert off < sum(line.half_widths_px), "what was placed lies within the band and its own u"


def test_a_point_that_is_off_shows_how_far(filmed_twice):
    _at(filmed_twice, 200, "right_knee")
    (line,) = sight_lines(filmed_twice, "athlete")
    assert line.text == ""
    assert line.gap_text.endswith("px off open-side")
    assert 35.0 < math.dist(line.placed, line.foot) < 55.0
    assert line.gap_text.startswith(f"{math.dist(line.placed, line.foot):.0f} px")


def test_a_point_that_fits_has_no_gap(filmed_twice):
    _at(filmed_twice, 200, "left_knee")
    (line,) = sight_lines(filmed_twice, "athlete")
    assert line.placed is None
    assert line.text == "fits open-side"


def test_nothing_is_drawn_unasked(filmed_twice):
    _at(filmed_twice, 200, "left_knee")
    filmed_twice.choose_landmark("athlete", "")
    assert sight_lines(filmed_twice, "athlete") == ()
    filmed_twice.choose_landmark("athlete", "left_knee")
    filmed_twice.set_sight_lines(False)
    assert sight_lines(filmed_twice, "athlete") == ()
