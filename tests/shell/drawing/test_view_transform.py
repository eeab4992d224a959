from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPointF, QRectF

from deliverylab.shell.drawing.view_transform import MAX_ZOOM, ViewTransform

PLACES = st.tuples(
    st.floats(-0.5, 1919.5, allow_nan=False), st.floats(-0.5, 1079.5, allow_nan=False)
)
ODD_ZOOMS = st.sampled_from([0.237, 1.0 / 3.0, 0.71, 1.0, 1.7, 3.33, 11.9, 37.0])


def a_view(zoom=0.71, *, is_mirrored=False) -> ViewTransform:
    return ViewTransform(
        width=803.0,
        height=517.0,
        zoom=zoom,
        centre_x=701.3,
        centre_y=402.7,
        is_mirrored=is_mirrored,
    )


@given(place=PLACES, zoom=ODD_ZOOMS, is_mirrored=st.booleans())
def test_a_place_goes_to_the_widget_and_back_without_loss(place, zoom, is_mirrored):
    view = a_view(zoom, is_mirrored=is_mirrored)
    back = view.to_frame(view.to_widget(*place))
    # doubles: nothing is rounded on the way
    assert back == pytest.approx(place, abs=1e-9)


@given(place=PLACES, zoom=ODD_ZOOMS, is_mirrored=st.booleans())
def test_the_matrix_says_the_same_as_the_function(place, zoom, is_mirrored):
    view = a_view(zoom, is_mirrored=is_mirrored)
    by_matrix, by_function = view.matrix.map(QPointF(*place)), view.to_widget(*place)
    assert by_matrix.x() == pytest.approx(by_function.x(), abs=1e-6)
    assert by_matrix.y() == pytest.approx(by_function.y(), abs=1e-6)


@given(at=st.tuples(st.floats(0, 803), st.floats(0, 517)), factor=st.floats(0.3, 4.0))
def test_zooming_keeps_the_place_under_the_pointer(at, factor):
    view = a_view(1.3)
    pointer = QPointF(*at)
    zoomed = view.zoomed(factor, pointer)
    # the middle is held inside of the frame: where that moved it, the place could not stay
    is_held = zoomed.centre_x in {-0.5, 1919.5} or zoomed.centre_y in {-0.5, 1079.5}
    if not is_held:
        assert zoomed.to_frame(pointer) == pytest.approx(view.to_frame(pointer), abs=1e-6)


def test_fitted_shows_all_of_the_frame_in_the_middle():
    view = a_view().fitted()
    shown = view.matrix.mapRect(view.frame_rect)
    assert view.area.contains(shown)
    assert shown.center().x() == pytest.approx(803.0 / 2)
    assert shown.center().y() == pytest.approx(517.0 / 2)


def test_fitted_to_an_area_shows_just_that():
    area = QRectF(600.0, 300.0, 400.0, 500.0)
    view = a_view().fitted(area)
    shown = view.matrix.mapRect(area)
    assert view.area.contains(shown)
    assert shown.height() > 0.95 * view.height
    assert view.is_fitted_to(area)
    assert not view.is_fitted_to()


def test_an_area_at_the_edge_is_shown_without_what_lies_beyond():
    area = QRectF(1500.0, 800.0, 419.0, 279.0)
    view = a_view().fitted(area)
    frame = view.matrix.mapRect(view.frame_rect)
    assert frame.adjusted(-1e-6, -1e-6, 1e-6, 1e-6).contains(view.area)
    assert view.area.contains(view.matrix.mapRect(area))


def test_another_size_keeps_a_fitted_view_fitted_and_leaves_a_zoomed_one():
    fitted = a_view().fitted()
    assert fitted.resized(300.0, 700.0).is_fitted_to()
    zoomed = a_view(5.0)
    assert zoomed.resized(300.0, 700.0).zoom == 5.0


def test_mirroring_exchanges_the_sides_only_on_the_screen():
    view, mirrored = a_view().fitted(), a_view(is_mirrored=True).fitted()
    assert view.to_widget(100.0, 50.0).x() < view.to_widget(200.0, 50.0).x()
    assert mirrored.to_widget(100.0, 50.0).x() > mirrored.to_widget(200.0, 50.0).x()
    centred = view.to_widget(959.5, 0.0).x()
    assert mirrored.to_widget(959.5, 0.0).x() == pytest.approx(centred)


@pytest.mark.parametrize("is_mirrored", [False, True])
def test_panning_moves_the_picture_with_the_hand(is_mirrored):
    view = a_view(2.0, is_mirrored=is_mirrored)
    before = view.to_widget(700.0, 400.0)
    after = view.panned(31.0, -12.0).to_widget(700.0, 400.0)
    assert (after.x() - before.x(), after.y() - before.y()) == pytest.approx((31.0, -12.0))


def test_zoom_has_its_ends_and_the_frame_is_never_lost():
    view = a_view()
    for _ in range(60):
        view = view.zoomed(2.0, QPointF(0.0, 0.0))
    assert view.zoom == MAX_ZOOM
    view = view.panned(1e6, 1e6)
    assert view.contains(view.centre_x, view.centre_y)
    for _ in range(60):
        view = view.zoomed(0.5, QPointF(0.0, 0.0))
    assert view.zoom == pytest.approx(0.5 * view.fit_zoom)
