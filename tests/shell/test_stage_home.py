"""The part of the frame that is shown at first, with and without pictures."""

from __future__ import annotations

import msgspec
import pytest

from deliverylab.core.model.changes import SetDelivery
from deliverylab.core.model.track import Position, Track
from deliverylab.shell.overlay_content import px_per_m
from deliverylab.shell.stage_content import body_area
from deliverylab.shell.stage_home import home_area
from tests.shell.conftest import SCALE, delivery_of, figure_tracks


@pytest.fixture
def large_and_small(session):
    """The same person, filmed from afar in one clip."""
    small = {
        key: Track.of((frame, Position(0.5 * p.x_px + 300, 0.5 * p.y_px + 150)) for frame, p in one)
        for key, one in figure_tracks([3, 40]).items()
    }
    halved = msgspec.structs.replace(SCALE, length_m=2.0 * SCALE.length_m)
    for delivery in (
        delivery_of("Bo 1", tracks=figure_tracks([3, 40]), scale=SCALE),
        delivery_of("Kim", tracks=small, scale=halved),
    ):
        session.project.apply(SetDelivery(name=delivery.name, delivery=delivery))
    session.set_pair("Bo 1", "Kim")
    return session


def test_with_pictures_it_is_where_the_body_is(large_and_small):
    for side in ("athlete", "model"):
        assert home_area(large_and_small, side) == body_area(large_and_small.camera(side))


def test_bodies_alone_have_one_scale(large_and_small):
    session = large_and_small
    session.show_bodies_only(True)
    sizes = []
    for side in ("athlete", "model"):
        camera, area = session.camera(side), home_area(session, side)
        assert area.contains(body_area(camera).center())
        sizes.append((area.width() / px_per_m(camera), area.height() / px_per_m(camera)))
        assert area.left() >= -0.5
        assert area.right() <= camera.width_px - 0.5
    assert sizes[0] == pytest.approx(sizes[1])


def test_without_a_scale_each_body_fills_its_stage(large_and_small):
    session = large_and_small
    session.set_scale("model", None)
    session.show_bodies_only(True)
    for side in ("athlete", "model"):
        assert home_area(session, side) == body_area(session.camera(side))


def test_nothing_placed_shows_the_whole_picture(pair, session):
    assert home_area(pair, "athlete") is None
    session.select("model", None)
    assert home_area(session, "model") is None
