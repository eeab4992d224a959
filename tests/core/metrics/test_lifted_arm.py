from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.metrics.inputs import N_ROLES, ROLE_COLUMN, EventPositions
from deliverylab.core.metrics.lifted_arm import ARM, lifted_bend
from deliverylab.core.metrics.seen import Seen
from deliverylab.core.metrics.setup import Setup
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.scale import PlanarScale, Point

PX_PER_M, HEIGHT_M = 200.0, 1.80
UPPER_M, FORE_M = (HEIGHT_M * mm / 1741.0 for mm in (281.7, 268.9))
MIDDLE = (639.5, 359.5)


def setup(distance_m=100.0):
    # a metre is 200 px; far away, so that the picture is a plain scaling
    scale = PlanarScale(
        a=Point(539.5, 359.5), b=Point(739.5, 359.5), length_m=1.0, distance_m=distance_m
    )
    athlete = Athlete(name="Ana", hand="right", height_m=HEIGHT_M, sex="male")
    return Setup("open-side", 1280, 720, scale, athlete, "right")


def arm(upper_out_m, fore_out_m, u_px=0.5):
    """See an upper arm that runs to the right, and a forearm straight up, both partly out of it."""
    shoulder = np.array(MIDDLE)
    elbow = shoulder + np.array([PX_PER_M * np.sqrt(UPPER_M**2 - upper_out_m**2), 0.0])
    wrist = elbow - np.array([0.0, PX_PER_M * np.sqrt(FORE_M**2 - fore_out_m**2)])
    seen = [None] * N_ROLES
    for role, place in zip(ARM, (shoulder, elbow, wrist), strict=True):
        seen[ROLE_COLUMN[role]] = Seen(*place, u_px, tuple(place), tuple(place), 0.0)
    return EventPositions("release", tuple(seen), 1 / 120, 0.001, 1 / 240)


def true_bend(upper_out_m, fore_out_m):
    """Return the angle of both limbs, whose parts in the picture are square to one another."""
    return np.degrees(np.arccos(upper_out_m * fore_out_m / (UPPER_M * FORE_M)))


@pytest.mark.parametrize(
    ("choices", "signs"),
    [
        (("farther", "farther"), (1, 1)),
        (("nearer", "nearer"), (-1, -1)),
        (("nearer", "farther"), (-1, 1)),
        (("farther", "nearer"), (1, -1)),
    ],
)
def test_the_known_lengths_and_the_word_give_the_bend(choices, signs):
    found = lifted_bend(arm(0.2, 0.2), setup(), choices)
    # well out of the picture the mean over what is not known is near the plain answer
    assert found.value_deg == pytest.approx(true_bend(signs[0] * 0.2, signs[1] * 0.2), abs=3.0)
    assert found.impossible_limb == ""


def test_what_is_nearly_flat_has_a_large_part_for_which_way_it_points():
    flat, out = (
        lifted_bend(arm(each, 0.2), setup(), ("nearer", "farther")) for each in (0.02, 0.2)
    )
    name = "which way the arm points"
    assert flat.parts[name] > 2.0 * out.parts[name]


def test_placing_counts_by_landmark():
    rough, fine = (
        lifted_bend(arm(0.2, 0.2, u_px), setup(), ("nearer", "farther")) for u_px in (4.0, 0.5)
    )
    assert set(rough.placing) == set(ARM)
    assert all(rough.placing[role] > 2.0 * fine.placing[role] for role in ARM)


def test_a_limb_seen_longer_than_it_is_is_named():
    long = arm(0.0, 0.2)
    # as if the athlete were a fifth smaller: no draw of the length reaches what is seen
    small = setup()
    athlete = Athlete(name="Ana", hand="right", height_m=1.40, sex="male")
    small = Setup(small.view, 1280, 720, small.scale, athlete, "right")
    found = lifted_bend(long, small, ("nearer", "nearer"))
    assert found.impossible_limb == "upper arm"
    assert np.isnan(found.value_deg)


def test_the_same_inputs_give_the_same_value():
    one, other = (lifted_bend(arm(0.1, 0.2), setup(), ("nearer", "nearer")) for _ in range(2))
    assert one == other
