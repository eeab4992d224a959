from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from deliverylab.core.metrics.figure_marks import ArcMark, LineMark, RulerMark
from deliverylab.core.model.scale import Point
from deliverylab.core.report.walkthrough_crop import Placement
from deliverylab.core.report.walkthrough_label import label
from deliverylab.core.report.walkthrough_marks import draw_marks
from deliverylab.core.report.walkthrough_style import NUMBER_ON_PICTURE, TEXT, rgb

PLACE = Placement(2.0, 0.0, 0.0, 300)
SAID = {"metric": "m", "event": "release", "name": "n", "text": "47° ± 4", "is_in_space": False}
ARC = ArcMark(
    **SAID, corner=Point(100.0, 100.0), reference=Point(100.0, 30.0), arm=Point(160.0, 65.0)
)
LINE = LineMark(**SAID, start=Point(40.0, 50.0), end=Point(140.0, 50.0))
RULER = RulerMark(
    **SAID,
    start=Point(40.0, 150.0),
    end=Point(140.0, 150.0),
    ticks=(Point(65.0, 150.0), Point(90.0, 150.0)),
    feet=((Point(40.0, 130.0), Point(40.0, 150.0)),),
)


def _drawn(*marks, place=PLACE):
    picture = np.full((500, 600, 3), 90, np.uint8)
    plates = []

    def label_of(text):
        plates.append(label(text, NUMBER_ON_PICTURE, 300))
        return plates[-1]

    draw_marks(picture, marks, place, 1.0, label_of)
    return picture, plates


def _white(picture):
    return np.abs(picture.astype(int) - np.array(rgb(TEXT))).max(axis=2) < 60


def test_an_arc_has_its_angle_s_size_and_place():
    picture, _ = _drawn(ARC)
    rows, columns = np.nonzero(_white(picture))
    distances = np.hypot(columns - 200.0, rows - 200.0)
    angles = np.degrees(np.arctan2(columns - 200.0, 200.0 - rows))
    on_arc = (np.abs(distances - 74.0) < 1.5) & (angles > 3.0) & (angles < 57.0)
    assert np.ptp(angles[on_arc]) > 50.0, "from the vertical to 60 degrees"


def test_an_angle_that_the_picture_does_not_show_is_words_alone():
    (untrue, plates), (drawn, _) = _drawn(replace(ARC, is_true=False)), _drawn(ARC)
    height, width = plates[0].shape[:2]
    assert _white(drawn).sum() > _white(untrue).sum()
    # nothing is changed but under the plate
    rows, columns = np.nonzero((untrue != 90).any(axis=2))
    assert rows.max() - rows.min() < height
    assert columns.max() - columns.min() < width


def test_the_number_stands_off_the_body():
    picture, (plate,) = _drawn(ARC)
    dark = np.abs(picture.astype(int) - np.array([32, 35, 39])).max(axis=2) < 12
    # the reference lies to the left of the arm: the plate is beside it, on that side
    assert np.median(np.nonzero(dark)[1]) < 200.0 - 0.5 * plate.shape[1]


def test_a_ruler_has_its_ticks():
    white = _white(_drawn(RULER)[0])
    assert white[300, 82:278].all()
    for column in (80, 130, 180, 280):
        assert white[293:307, column - 1 : column + 2].any(axis=1).all()
    assert not white[293:297, 100:120].any()


def test_a_line_across_is_drawn():
    assert _white(_drawn(LINE)[0])[100, 85:275].all()


def test_a_mirrored_picture_has_its_marks_mirrored():
    white = _white(_drawn(LINE, place=PLACE._replace(is_mirrored=True))[0])
    assert white[100, 325:515].all()


def test_numbers_do_not_cover_each_other():
    alone = np.count_nonzero(_drawn(LINE)[0] != 90)
    both = np.count_nonzero(_drawn(LINE, LINE)[0] != 90)
    plate = _drawn(LINE)[1][0]
    assert both - alone > 0.8 * 3 * plate.shape[0] * plate.shape[1]


@pytest.mark.parametrize("at", [Point(1.0, 1.0), Point(299.0, 249.0)])
def test_a_number_stays_inside_the_picture(at):
    mark = LineMark(**SAID, start=at, end=Point(at.x_px + 0.5, at.y_px))
    picture, (plate,) = _drawn(mark)
    n_changed = np.count_nonzero((picture != 90).any(axis=2))
    assert n_changed >= plate.shape[0] * plate.shape[1] * 0.95


def test_arms_that_all_but_meet_have_their_number_beside_them():
    closed = ArcMark(
        **SAID, corner=Point(100.0, 100.0), reference=Point(100.0, 30.0), arm=Point(101.0, 30.0)
    )
    picture, _ = _drawn(closed)
    dark = np.abs(picture.astype(int) - np.array([32, 35, 39])).max(axis=2) < 12
    assert np.median(np.nonzero(dark)[1]) > 230
