"""What a result needs, counted."""

from __future__ import annotations

from deliverylab.core.workflow.placing_needs import n_results_at


def test_the_knee_of_the_lead_leg_counts_whichever_hand_throws():
    right, left = (n_results_at("foot_contact", hand, "open-side") for hand in ("right", "left"))
    # the lead leg is the left one of a right-hander
    assert right["left_knee"] > 0
    assert right["left_knee"] == left["right_knee"]
    assert right["left_ankle"] > right.get("right_hand", 0)


def test_what_a_view_cannot_show_does_not_count():
    side = n_results_at("foot_contact", "right", "open-side")
    rear = n_results_at("foot_contact", "right", "rear")
    # from behind a knee's flexion is not seen, the turn of the shoulders is
    assert side["left_knee"] > 0
    assert "left_knee" not in rear
    assert rear["left_shoulder"] > 0


def test_an_event_that_nothing_is_read_at_needs_nothing():
    assert n_results_at("finish", "right", "top") == {}


def test_what_several_cameras_tell_together_counts_in_each_of_them():
    alone = n_results_at("foot_contact", "right", "rear")
    together = n_results_at("foot_contact", "right", "rear", is_in_space=True)
    # the lead knee's flexion needs two cameras from behind
    assert together["left_knee"] > alone.get("left_knee", 0) == 0
    assert all(together[key] >= n for key, n in alone.items())
    side = n_results_at("foot_contact", "right", "open-side", is_in_space=True)
    assert side == together
