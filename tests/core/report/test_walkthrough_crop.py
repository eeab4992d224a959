from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.core.report.walkthrough_crop import MOST_ZOOM, Placement, placements
from tests.core import walked_pair

SIZE = (900, 680)
FRAMES = range(30, 100)


def _side(*, is_mirrored=False, frames=FRAMES, height_m=None, **fields):
    made = walked_pair.delivery("Ana 1", walked_pair.MARKS_A, **fields)
    if height_m is not None:
        import msgspec

        athlete = msgspec.structs.replace(made.athlete, height_m=height_m)
        made = msgspec.structs.replace(made, athlete=athlete)
    return made, made.cameras[0], frames, is_mirrored


def _body(side, place):
    """Return top, bottom, left and right of a body in the picture over the frames."""
    _, camera, frames, _ = side
    places = np.array(
        [place.to_picture(*track.xy_px[list(frames)].T) for track in camera.tracks.values()]
    )
    return (*(places[:, 1].min(), places[:, 1].max()), places[:, 0].min(), places[:, 0].max())


def test_bodies_of_different_size_are_shown_as_large_and_on_one_ground():
    sides = (_side(), _side(size=0.6))
    first, second = (
        _body(side, at) for side, at in zip(sides, placements(sides, SIZE), strict=True)
    )
    assert first[:2] == pytest.approx(second[:2])
    for top, bottom, left, right in (first, second):
        assert 0.0 < top < bottom < SIZE[1]
        assert 0.0 < left < right < SIZE[0]


def test_names_have_room_above_the_bodies():
    sides = (_side(), _side(size=0.6))
    for side, place in zip(sides, placements(sides, SIZE, headroom=60.0), strict=True):
        assert _body(side, place)[0] > 60.0 + 0.05 * SIZE[1]


def test_where_scale_and_height_are_known_they_say_how_large_a_body_is():
    # the second is filmed half as large as the first, as tall, and crouches: its box would deceive
    metre = PlanarScale(a=Point(0.0, 100.0), b=Point(60.0, 100.0), length_m=1.0)
    half = PlanarScale(a=Point(0.0, 100.0), b=Point(30.0, 100.0), length_m=1.0)
    sides = (
        _side(scale=metre, height_m=1.8),
        _side(scale=half, height_m=1.8, size=0.4),
    )
    first, second = placements(sides, SIZE)
    assert second.zoom == pytest.approx(2.0 * first.zoom)


def test_a_height_that_only_one_has_is_not_used():
    metre = PlanarScale(a=Point(0.0, 100.0), b=Point(60.0, 100.0), length_m=1.0)
    plain = placements((_side(), _side()), SIZE)
    assert placements((_side(scale=metre, height_m=1.8), _side()), SIZE) == plain


def test_a_small_body_is_not_enlarged_endlessly():
    place, _ = placements((_side(size=0.1, frames=range(50, 52)),) * 2, SIZE)
    assert place.zoom == MOST_ZOOM


def test_without_landmarks_a_clip_is_shown_whole():
    bare = _side(tracks={})
    (place,) = placements((bare,), SIZE)
    assert place.zoom == pytest.approx(min(SIZE[0] / 320, SIZE[1] / 180))
    x, y = place.to_picture(159.5, 89.5)
    assert (x, y) == pytest.approx((0.5 * (SIZE[0] - 1), 0.5 * (SIZE[1] - 1)))
    beside = placements((_side(), bare), SIZE)
    assert beside[1] == place
    assert beside[0] != place


def test_without_head_or_feet_the_box_says_how_large_a_body_is():
    made, camera, frames, turned = _side()
    import msgspec

    tracks = {key: camera.tracks[key] for key in ("left_hip", "left_knee")}
    camera = msgspec.structs.replace(camera, tracks=tracks)
    (place,) = placements(((made, camera, frames, turned),), SIZE)
    assert place.zoom > 1.0


@pytest.mark.parametrize("is_mirrored", [False, True])
@pytest.mark.parametrize("zoom", [2.3, 1.0, 0.7, 0.45, 0.2])
def test_the_picture_lies_where_the_places_say(zoom, is_mirrored):
    frame = np.zeros((900, 1200, 3), np.uint8)
    yy, xx = np.mgrid[:900, :1200]
    at = (611.3, 402.8)
    spot = 255.0 * np.exp(-((xx - at[0]) ** 2 + (yy - at[1]) ** 2) / (2 * 9.0**2))
    frame[:] = spot[..., None].astype(np.uint8)
    place = Placement(zoom, 150.0 - zoom * 588.0 + 20.0, 100.0 - zoom * 402.0, 1200, is_mirrored)
    shown = place.shown(frame, 300, 200, (0, 0, 0))[..., 0].astype(float)
    rows, columns = np.mgrid[:200, :300]
    centre = (shown * columns).sum() / shown.sum(), (shown * rows).sum() / shown.sum()
    # a bright spot is found again to a tenth of a pixel, whichever way the frame was made smaller
    assert centre == pytest.approx(place.to_picture(*at), abs=0.1)


def test_beside_the_frame_is_plain_ground():
    place = Placement(1.0, 50.0, 50.0, 20)
    shown = place.shown(np.full((20, 20, 3), 200, np.uint8), 120, 120, (1, 2, 3))
    assert tuple(shown[5, 5]) == (1, 2, 3)
    assert tuple(shown[60, 60]) == (200, 200, 200)
