from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from deliverylab.core.cameras.control import pole, rubber
from deliverylab.core.cameras.joint_solve import solve_cameras
from deliverylab.core.errors import InputValueError
from deliverylab.core.synthetic.field_filming import Phone, film_field
from deliverylab.core.synthetic.population import varied_delivery
from deliverylab.core.vocabulary.field import BY_KEY
from tests.core.cameras.filmed import REAR, SIDE, solved, standard


def camera_errors(solution, filmed):
    """Return errors of all cameras' numbers in units of their u."""
    gap = np.concatenate(
        [a.parameters - b.parameters for a, b in zip(solution.cameras, filmed.cameras, strict=True)]
    )
    gap[::7] = (gap[::7] + np.pi) % (2 * np.pi) - np.pi
    return gap / np.sqrt(np.diag(solution.covariance)[: len(gap)])


def test_the_standard_field_gives_cameras_and_offset_within_their_u():
    filmed, solution = standard(), solved()
    assert np.abs(camera_errors(solution, filmed)).max() < 3.5
    assert solution.adjustment.chi_square_per_freedom == pytest.approx(1.0, abs=0.3)
    error = solution.offsets_s[0, 1] - filmed.offsets_s[1]
    assert abs(error) < 3.0 * solution.u_offset_s(0)[0]
    assert solution.u_offset_s(0)[0] < 5e-4
    assert solution.n_agreeing == solution.n_starts == 2
    assert solution.adjustment.n_free == 0


def test_control_points_are_found_better_than_the_tape_says():
    filmed, solution = standard(), solved()
    for key in ("cone_left", "cone_right"):
        assert solution.points_m[key] == pytest.approx(filmed.true_points_m[key], abs=0.03)


def test_deliveries_of_a_session_share_their_cameras():
    rng = np.random.default_rng(7)
    first = film_field(varied_delivery(rng), (SIDE, REAR), rng)
    second = film_field(varied_delivery(rng), (SIDE, REAR), rng, cameras=first.cameras)
    both = [first.delivery, second.delivery]
    solution = solve_cameras(first.set_ups, first.points, both, search_s=0.2)
    errors = solution.offsets_s[:, 1] - [first.offsets_s[1], second.offsets_s[1]]
    # 60 frames a second in one of the clips: a few tenths of a millisecond
    assert np.abs(errors).max() < 1.5e-3
    assert solution.delivery_covariance(1).shape == (15, 15)
    alone = solve_cameras(first.set_ups, first.points, both[:1], search_s=0.2)
    assert solution.covariance[0, 0] < alone.covariance[0, 0]


def test_clicks_alone_will_do_where_the_field_holds_enough():
    filmed = standard()
    solution = solve_cameras(filmed.set_ups, filmed.points)
    assert np.abs(camera_errors(solution, filmed)).max() < 3.5
    assert solution.offsets_s.shape == (0, 2)


def test_a_pole_of_unknown_place_is_found_where_two_pictures_show_it():
    rng = np.random.default_rng(3)
    points = (*rubber(BY_KEY["baseball"]), *pole("pole", None, 2.0))
    filmed = film_field(varied_delivery(rng), (SIDE, REAR), rng, points=points)
    filmed.true_points_m["pole_foot"][:] = 0.0
    solution = solve_cameras(filmed.set_ups, points, [filmed.delivery], search_s=0.2)
    assert solution.points_m["pole_foot"] == pytest.approx(np.zeros(3), abs=0.05)
    for set_up in filmed.set_ups[1:]:
        del set_up.clicks_px["pole_foot"]
    with pytest.raises(InputValueError, match="two pictures"):
        solve_cameras(filmed.set_ups, points)


def test_a_third_camera_joins_and_helps():
    rng = np.random.default_rng(11)
    phones = (SIDE, REAR, Phone(view="open-side", turn_deg=-45.0, rate_hz=120.0))
    filmed = film_field(varied_delivery(rng), phones, rng)
    three = solve_cameras(filmed.set_ups, filmed.points, [filmed.delivery], search_s=0.2)
    assert np.abs(camera_errors(three, filmed)).max() < 4.0
    assert np.abs(three.offsets_s[0] - filmed.offsets_s).max() < 1e-3
    delivery = replace(filmed.delivery, tracks=filmed.delivery.tracks[:2], offsets_s=(0.0,))
    two = solve_cameras(filmed.set_ups[:2], filmed.points, [delivery], search_s=0.2)
    assert three.covariance[6, 6] < two.covariance[6, 6]
    assert three.u_offset_s(0)[0] < two.u_offset_s(0)[0]


def test_without_tracks_the_marks_of_an_event_hold_the_offset():
    filmed = standard()
    bare = tuple(
        replace(each, places_px=np.full_like(each.places_px, np.nan))
        for each in filmed.delivery.tracks
    )
    marked = replace(filmed.delivery, tracks=bare, offsets_s=(0.012,), u_offset_s=0.002)
    solution = solve_cameras(filmed.set_ups, filmed.points, [marked])
    assert solution.offsets_s[0] == pytest.approx([0.0, 0.012])
    assert solution.u_offset_s(0) == pytest.approx([0.002], rel=1e-3)
    assert solution.adjustment.n_free == 0
    guessed = replace(marked, u_offset_s=float("inf"))
    assert solve_cameras(filmed.set_ups, filmed.points, [guessed]).adjustment.n_free == 1
