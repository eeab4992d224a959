from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from deliverylab.core.cameras.control import cone, pole, rubber, with_place
from deliverylab.core.cameras.diagnosis import diagnose, place_by_pictures, swapped_points
from deliverylab.core.cameras.joint_solve import solve_cameras
from deliverylab.core.cameras.pinhole import camera_from
from deliverylab.core.synthetic.field_filming import film_field
from deliverylab.core.synthetic.population import varied_delivery
from deliverylab.core.vocabulary.field import BY_KEY
from tests.core.cameras.filmed import REAR, SIDE, solved, standard

FIELD = BY_KEY["baseball"]
FOUR = [cone(k, x, y, FIELD) for k, x, y in (("a", 2.0, 0.8), ("b", 2.0, -0.8), ("c", -0.8, 0.9))]
RICH = (*rubber(FIELD), *FOUR, *pole("pole", FOUR[0], 2.0)[1:])


def test_the_standard_field_has_nothing_to_find():
    filmed = standard()
    found = diagnose(solved(), filmed.set_ups, filmed.points)
    assert found.findings == ()
    assert not found.is_refused
    assert 0.1 < found.field_misfit < 2.2
    assert found.body_misfits[0] == pytest.approx(1.0, abs=0.2)


@pytest.mark.parametrize("row", [0, 1])
def test_exchanged_cones_are_named_with_their_picture(row):
    filmed = standard()
    set_ups = list(filmed.set_ups)
    clicks = dict(set_ups[row].clicks_px)
    clicks["cone_left"], clicks["cone_right"] = clicks["cone_right"], clicks["cone_left"]
    set_ups[row] = replace(set_ups[row], clicks_px=clicks)
    solution = solve_cameras(set_ups, filmed.points)
    found = diagnose(solution, set_ups, filmed.points)
    assert found.is_refused
    assert found.findings[0].key == "swapped"
    assert found.findings[0].where == set_ups[row].name
    assert swapped_points(filmed.set_ups, filmed.points) is None


def test_a_tape_misread_by_ten_centimetres_is_named_with_where_it_must_be():
    rng = np.random.default_rng(5)
    filmed = film_field(varied_delivery(rng), (SIDE, REAR), rng, points=RICH)
    x, y, z = FOUR[1].place_m
    wrong = with_place(RICH, "b", (x + 0.10, y, z))
    found = diagnose(solve_cameras(filmed.set_ups, wrong), filmed.set_ups, wrong)
    assert [each.key for each in found.findings] == ["blunder"]
    assert found.findings[0].where == "b"
    assert (
        "put it at 2.0" in found.findings[0].remedy or "put it at 1.9" in found.findings[0].remedy
    )


def test_where_the_pictures_put_a_point():
    filmed = standard()
    place = place_by_pictures(filmed.set_ups, filmed.points, "cone_left")
    assert place == pytest.approx(filmed.true_points_m["cone_left"], abs=0.1)
    one = [filmed.set_ups[0], replace(filmed.set_ups[1], clicks_px={})]
    assert place_by_pictures(one, filmed.points, "cone_left") is None


def test_a_tripod_moved_between_deliveries_is_seen():
    rng = np.random.default_rng(7)
    first = film_field(varied_delivery(rng), (SIDE, REAR), rng)
    numbers = first.cameras[1].parameters + np.array([0.05, 0.02, 0.0, 0.1, 0.2, 0.0, 0.0])
    moved = (first.cameras[0], camera_from(numbers, first.cameras[1].size_px))
    second = film_field(varied_delivery(rng), (SIDE, REAR), rng, cameras=moved)
    both = [
        replace(each.delivery, offsets_s=(float(each.offsets_s[1]),)) for each in (first, second)
    ]
    solution = solve_cameras(first.set_ups, first.points, both)
    found = diagnose(solution, first.set_ups, first.points)
    assert "moved_camera" in {each.key for each in found.findings}


def test_lines_of_sight_that_do_not_meet_are_a_wrong_minimum():
    filmed = standard()
    tracks = filmed.delivery.tracks
    # left and right exchanged in one of the clips: every landmark is another's
    places = tracks[1].places_px.copy()
    places[:, 2:20] = (
        places[:, 2:20].reshape(len(places), 9, 2, 2)[:, :, ::-1].reshape(len(places), 18, 2)
    )
    wrong = replace(
        filmed.delivery,
        tracks=(tracks[0], replace(tracks[1], places_px=places)),
        offsets_s=(float(filmed.offsets_s[1]),),
    )
    solution = solve_cameras(filmed.set_ups, filmed.points, [wrong])
    found = diagnose(solution, filmed.set_ups, filmed.points)
    assert found.is_refused
    assert "wrong_minimum" in {each.key for each in found.findings}


def test_the_rubber_alone_leaves_directions_unsure():
    filmed = standard()
    only = [
        replace(each, clicks_px={k: v for k, v in each.clicks_px.items() if "rubber" in k})
        for each in filmed.set_ups
    ]
    found = diagnose(solve_cameras(only, filmed.points), only, filmed.points)
    assert [each.key for each in found.findings] == ["unsure_directions"]
    assert found.is_refused
