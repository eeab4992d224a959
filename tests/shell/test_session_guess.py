from __future__ import annotations

import pytest

from tests.shell.conftest import MARKS_A, SCALE, delivery_of, figure_tracks


@pytest.fixture
def bo(session):
    """A delivery with all landmarks at leg lift and release, shown at foot contact."""
    tracks = figure_tracks([24, 180])
    session.add_delivery(delivery_of("Bo 1", marks=MARKS_A, scale=SCALE, tracks=tracks))
    session.show_frame("athlete", 144)
    session.undo_stack.clear()
    return session


def _x_between(bo, key):
    return bo.camera("athlete").track(key).xy_px[0, 0] + 0.5 * 120


def test_a_guess_is_no_position_until_it_is_taken(bo):
    before = bo.record
    guess = bo.guess("athlete")
    assert guess.x_px == pytest.approx(_x_between(bo, "head_top"))
    assert bo.record is before
    assert all(
        "not placed" in r.reason
        for r in bo.results("athlete")
        if r.event == "foot_contact" and r.metric == "lead_knee_flexion"
    )
    bo.accept_guess()
    placed = bo.camera("athlete").track("head_top").at(144)
    assert placed == (guess.x_px, guess.y_px, None, "placed")
    bo.undo()
    assert bo.record == before


def test_it_is_moved_by_keys_and_then_taken(bo):
    guess = bo.guess("athlete")
    bo.move_guess("athlete", 3.0, -2.0)
    assert bo.guess("athlete")[:2] == (guess.x_px + 3.0, guess.y_px - 2.0)
    bo.move_guess("athlete", -5000.0, 5000.0)
    assert bo.guess("athlete")[:2] == (-0.5, 719.5)
    bo.let_guess_go("athlete")
    assert bo.guess("athlete") == guess
    bo.move_guess("athlete", 3.0, -2.0)
    bo.accept_guess()
    assert bo.camera("athlete").track("head_top").at(144).x_px == guess.x_px + 3.0
    # the next one follows: it is moved along with what was placed
    assert bo.holds_guess("athlete")
    assert bo.guess("athlete").x_px == pytest.approx(_x_between(bo, "neck") + 3.0)


def test_all_guesses_of_a_frame_are_one_step(bo):
    assert bo.accept_guesses() == 20
    assert bo.next_landmark("athlete") == ""
    assert bo.undo_stack.count() == 1
    bo.undo()
    assert bo.next_landmark("athlete") == "head_top"


def test_what_no_other_frame_tells_is_not_taken_at_once(session):
    session.add_delivery(delivery_of("Bo 1", marks=MARKS_A, scale=SCALE))
    assert session.guess("athlete").source == "start"
    assert session.accept_guesses() == 0


def test_the_hand_on_the_mouse_lets_the_guess_go(bo):
    bo.accept_guess()
    assert bo.holds_guess("athlete")
    bo.place_landmark("athlete", "neck", 10.0, 10.0)
    assert not bo.holds_guess("athlete")
    bo.accept_guess()
    bo.step(1)
    assert not bo.holds_guess("athlete")


def test_a_pair_is_swapped_here_or_over_a_stretch(bo):
    bo.show_frame("athlete", 24)
    bo.choose_landmark("athlete", "left_knee")
    left, right = (bo.camera("athlete").track(f"{side}_knee").at(24) for side in ("left", "right"))
    assert bo.swap_sides(is_stretch=False) == 1
    assert bo.camera("athlete").track("right_knee").at(24) == left
    assert bo.camera("athlete").track("left_knee").at(24) == right
    bo.undo()
    assert bo.swap_sides(is_stretch=True) == 156
    assert bo.camera("athlete").track("right_knee").at(24) == left
    bo.choose_landmark("athlete", "neck")
    assert bo.swap_sides(is_stretch=False) == 0


def test_where_placing_again_hides_places_there_is_no_guess(bo):
    bo.hide_places("athlete", True)
    assert bo.guess("athlete") is None
    assert bo.accept_guesses() == 0
