from __future__ import annotations

import math

from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPointF, QSizeF

from deliverylab.shell.drawing.loupe import loupe_area, loupe_place, magnification, radius_for
from deliverylab.shell.drawing.view_transform import ViewTransform

SIZE = QSizeF(900.0, 600.0)


def distance(a: QPointF, b: QPointF) -> float:
    return math.hypot(a.x() - b.x(), a.y() - b.y())


@given(hands=st.lists(st.tuples(st.floats(0, 900), st.floats(0, 600)), min_size=1, max_size=6))
def test_the_loupe_never_lies_under_the_hand(hands):
    place = None
    for hand in hands:
        place = loupe_place(SIZE, QPointF(*hand), place)
        assert distance(place.centre, QPointF(*hand)) > radius_for(SIZE)


def test_the_loupe_stays_where_it_is_until_the_hand_comes_near():
    place = loupe_place(SIZE, QPointF(820.0, 60.0), None)
    assert place.corner != 0
    away = loupe_place(SIZE, QPointF(500.0, 300.0), place)
    assert away.corner == place.corner


def test_the_loupe_is_small_on_a_small_stage():
    assert radius_for(QSizeF(250.0, 200.0)) == 40.0


def test_the_loupe_always_shows_more_than_the_stage():
    for zoom in (0.3, 1.0, 4.0, 20.0):
        assert magnification(ViewTransform(zoom=zoom)) > 1.5 * zoom


def test_its_area_holds_the_patch_and_the_name_inside_the_stage():
    for hand in ((0.0, 0.0), (850.0, 60.0), (60.0, 60.0)):
        place = loupe_place(SIZE, QPointF(*hand), None)
        area, radius = loupe_area(SIZE, place), radius_for(SIZE)
        assert area.left() == place.centre.x() - radius
        assert area.bottom() > place.centre.y() + radius + 14.0
        assert area.top() >= 0.0
        assert area.right() <= SIZE.width()
        assert area.bottom() <= SIZE.height()
