from __future__ import annotations

import msgspec
import numpy as np
import pytest

from deliverylab.core.model.delivery import Camera
from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Position, Track
from deliverylab.core.synthetic.population import varied_delivery
from deliverylab.core.workflow.packing_faces import (
    BETWEEN_M_S,
    BEYOND_M_S,
    HEAD_M,
    MOST_GROWTH_M,
    RADIUS_OF_LENGTH,
    head_course,
    unlocated,
)

replace = msgspec.structs.replace


def camera(top, neck, **fields):
    tracks = {
        key: Track.of((frame, Position(*place)) for frame, place in places.items())
        for key, places in (("head_top", top), ("neck", neck))
    }
    return Camera(
        name="main", view="open-side", width_px=640, height_px=360,
        timing=Timing(n_frames=100, stored_rate="100"), tracks=tracks, **fields,
    )  # fmt: skip


def test_the_disc_lies_between_neck_and_top():
    disc = head_course(camera({10: (100.0, 50.0)}, {10: (100.0, 90.0)})).disc(10)
    assert disc[:2] == (100.0, 70.0)
    assert disc.radius_px == pytest.approx(RADIUS_OF_LENGTH * 40.0)


def test_it_grows_between_placed_frames():
    course = head_course(
        camera({10: (100.0, 50.0), 20: (200.0, 50.0)}, {10: (100.0, 90.0), 20: (200.0, 90.0)})
    )
    middle = course.disc(15)
    assert middle.x_px == 150.0
    grown = BETWEEN_M_S * 0.05 / HEAD_M * 40.0
    assert middle.radius_px == pytest.approx(course.disc(10).radius_px + grown)


def test_it_is_not_located_far_from_any_placed_frame():
    course = head_course(camera({50: (100.0, 50.0)}, {50: (100.0, 90.0)}))
    located = [frame for frame in range(100) if course.disc(frame) is not None]
    reach = round(MOST_GROWTH_M / BEYOND_M_S * 100)
    # whether the very edge counts is rounding
    near, nearly = range(51 - reach, 50 + reach), range(50 - reach, 51 + reach)
    assert set(near) <= set(located) <= set(nearly)


def test_what_is_missing_is_counted_in_the_trimmed_part():
    seen = camera({50: (100.0, 50.0)}, {50: (100.0, 90.0)})
    n_missing, n = unlocated(seen)
    assert n == 100
    assert 89 <= n_missing <= 91
    assert unlocated(replace(seen, first_frame=48, last_frame=52)) == (0, 5)


def test_one_end_alone_needs_a_scale_and_covers_more():
    alone = camera({10: (100.0, 50.0)}, {})
    assert head_course(alone).disc(10) is None
    scale = PlanarScale(a=Point(0.0, 0.0), b=Point(160.0, 0.0), length_m=1.0)
    disc = head_course(replace(alone, scale=scale)).disc(10)
    # chin and neck lie below the top of the head, by one length
    assert disc.radius_px > 160.0 * HEAD_M


def test_nothing_placed_locates_nothing():
    assert head_course(camera({}, {})).disc(10) is None


def test_a_nod_towards_the_camera_keeps_the_size():
    top = dict.fromkeys(range(10), (100.0, 50.0)) | {10: (100.0, 85.0)}
    neck = dict.fromkeys(range(11), (100.0, 90.0))
    assert head_course(camera(top, neck)).disc(10).radius_px > 30.0


@pytest.mark.parametrize("gap", [12, 24, 40])
def test_heads_of_varied_deliveries_stay_inside(gap):
    """Seen from the side in metres: the whole head lies in the disc wherever that is located."""
    missed = n = 0
    for seed in range(4):
        truth = varied_delivery(np.random.default_rng(100 + seed))
        times_s = np.arange(0.0, truth.motion.events()["release"] + 0.2, 1 / 240)
        places = truth.motion.positions_at(times_s)
        px = {key: 200.0 * places[key][:, [0, 2]] for key in ("head_top", "neck")}
        known = range(0, len(times_s), gap)
        seen = camera(*({f: tuple(px[key][f]) for f in known} for key in ("head_top", "neck")))
        timing = Timing(n_frames=len(times_s), stored_rate="240")
        course = head_course(replace(seen, timing=timing))
        for frame in range(len(times_s)):
            disc = course.disc(frame)
            if disc is None:
                continue
            middle = 0.5 * (px["head_top"][frame] + px["neck"][frame])
            n += 1
            # the face lies within about 0.13 m of the head's middle (common practice)
            missed += np.hypot(*(middle - disc[:2])) + 0.13 * 200.0 > disc.radius_px
    assert n > 500
    assert missed == 0
