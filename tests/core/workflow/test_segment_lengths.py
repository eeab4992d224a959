from __future__ import annotations

import math

import msgspec
import numpy as np
import pytest

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Position, Track
from deliverylab.core.synthetic.filming import FilmingSetUp, clothing_offsets_m, film_positions
from deliverylab.core.synthetic.population import varied_delivery
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS
from deliverylab.core.vocabulary.segments import BY_KEY
from deliverylab.core.workflow.segment_lengths import same_athlete, segment_lengths
from tests.core.workflow.two_phones import solved_two_phones

LIMBS = ("upper_arm", "forearm", "thigh", "shank")


def of_one_camera(seed, *, height_m=None, view="open-side", step=4):
    """Return a delivery filmed by one phone with a scale, and its truth."""
    rng = np.random.default_rng(seed)
    set_up = FilmingSetUp(view=view, distance_m=8.0, rate_hz=120.0)
    truth = varied_delivery(rng, rate_hz=120.0)
    places = film_positions(truth, set_up, offsets_m=clothing_offsets_m(rng, 0.006))
    places += rng.normal(0.0, 1.5, places.shape)
    tracks = {
        key: Track.of(
            (frame, Position(*map(float, places[frame, column])))
            for frame in range(0, len(places), step)
        )
        for column, key in enumerate(LANDMARK_KEYS)
        if key != "ball"
    }
    length_px = 1.5 / set_up.metres_per_px
    camera = Camera(
        name=view, view=view, width_px=1280, height_px=720,
        timing=Timing(n_frames=len(places), stored_rate="120"), tracks=tracks,
        scale=PlanarScale(a=Point(200.0, 600.0), b=Point(200.0 + length_px, 600.0), length_m=1.5),
    )  # fmt: skip
    athlete = Athlete(name="Ana", hand=truth.spec.hand, height_m=height_m, sex=truth.spec.sex)
    return Delivery(name=f"Ana {seed}", athlete=athlete, cameras=(camera,)), truth


def true_length_m(truth, key):
    segment = BY_KEY[key]
    ends = truth.positions_m[segment.proximal], truth.positions_m[segment.distal]
    return float(np.mean(np.linalg.norm(ends[0] - ends[1], axis=1)))


def record_of(*deliveries):
    return ProjectRecord(deliveries=deliveries)


def test_solved_cameras_measure_them():
    solved = solved_two_phones()
    lengths = segment_lengths(solved.record, solved.delivery)
    truth = solved.phones.truth
    at = truth.motion.positions_at(truth.times_s)
    for key in (f"{side}_{part}" for part in LIMBS for side in ("left", "right")):
        segment, found = BY_KEY[key], lengths[key]
        true_m = np.mean(np.linalg.norm(at[segment.proximal] - at[segment.distal], axis=1))
        assert found.source == "measured in space (Ana 1)"
        assert abs(found.length_m - true_m) < 2.0 * found.u_m
        # placing to 10 mm at each end; narrower than the share of the height tells a thigh
        assert 0.002 < found.u_m < 0.020


def test_another_delivery_of_the_athlete_takes_them_over():
    solved = solved_two_phones()
    athlete = solved.delivery.athlete
    plain, _ = of_one_camera(3)
    plain = msgspec.structs.replace(plain, athlete=athlete)
    record = msgspec.structs.replace(solved.record, deliveries=(solved.delivery, plain))
    assert segment_lengths(record, plain) == segment_lengths(record, solved.delivery)
    other = msgspec.structs.replace(athlete, name="Ben")
    alone = msgspec.structs.replace(plain, athlete=other)
    assert "space" not in segment_lengths(record, alone)["left_thigh"].source


@pytest.mark.parametrize("is_height_known", [False, True])
def test_one_clip_with_a_scale_tells_them_within_u(is_height_known):
    errors = []
    for seed in range(40, 46):
        _, truth = of_one_camera(seed)
        height_m = truth.spec.height_m if is_height_known else None
        delivery, _ = of_one_camera(seed, height_m=height_m)
        lengths = segment_lengths(record_of(delivery), delivery)
        assert lengths["left_shank"].source.startswith(
            f"the longest seen ({delivery.name}: open-side)"
        )
        assert ("height" in lengths["left_shank"].source) == is_height_known
        errors += [
            (lengths[f"left_{part}"].length_m - true_length_m(truth, f"left_{part}"))
            / lengths[f"left_{part}"].u_m
            for part in LIMBS
        ]
    assert 0.2 < math.sqrt(np.mean(np.square(errors))) < 1.2


def test_height_alone_gives_the_usual_share():
    delivery = Delivery(
        name="Ana", athlete=Athlete(name="Ana", height_m=1.80, sex="male"), cameras=()
    )
    lengths = segment_lengths(record_of(delivery), delivery)
    # de Leva 1996, table 4: 422.2 mm of 1741 mm
    assert lengths["right_thigh"].length_m == pytest.approx(1.80 * 422.2 / 1741.0)
    assert lengths["right_thigh"].source == "usual share of the height"
    assert lengths["left_thigh"] == lengths["right_thigh"]
    assert "head" not in lengths
    unknown = msgspec.structs.replace(delivery, athlete=Athlete(name="Ana"))
    assert segment_lengths(record_of(unknown), unknown) == {}


def test_a_clip_that_never_shows_a_limb_square_does_not_shorten_it():
    square, truth = of_one_camera(41)
    camera = square.cameras[0]
    knee = camera.track("left_knee")
    tracks = dict(camera.tracks)
    for side in ("left", "right"):
        hip, knee = (camera.track(f"{side}_{part}") for part in ("hip", "knee"))
        half = hip.xy_px + 0.5 * (knee.xy_px - hip.xy_px)
        tracks[f"{side}_knee"] = Track(knee.frames, half, knee.u_px, knee.origins)
    end_on = msgspec.structs.replace(camera, name="front", view="front", tracks=tracks)
    both = msgspec.structs.replace(square, cameras=(camera, end_on))
    alone, together = (segment_lengths(record_of(d), d)["left_thigh"] for d in (square, both))
    assert together == alone
    assert together.length_m == pytest.approx(true_length_m(truth, "left_thigh"), rel=0.10)


def test_same_athlete_goes_by_name_and_height():
    def thrown(name, person, height_m):
        return Delivery(name=name, athlete=Athlete(name=person, height_m=height_m), cameras=())

    own = thrown("own", "Ana", 1.70)
    record = record_of(
        thrown("as tall", " ana", 1.72), own, thrown("not known", "Ana", None),
        thrown("grown", "Ana", 1.80), thrown("someone else", "Ben", 1.70),
    )  # fmt: skip
    assert [d.name for d in same_athlete(record, own)] == ["own", "as tall", "not known"]
