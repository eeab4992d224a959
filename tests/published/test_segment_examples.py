"""Mass centres of segments, of a limb and of a whole body against worked examples."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.metrics.body_mass import mass_centre
from deliverylab.core.metrics.measures import lead_knee_flexion
from deliverylab.core.metrics.pose import Pose
from deliverylab.core.numerics.angles import flexion_deg
from deliverylab.core.numerics.mass_centre import combined_mass_centre, segment_mass_centre
from deliverylab.core.vocabulary.segments import BY_KEY as SEGMENT_BY_KEY
from deliverylab.core.vocabulary.segments import SEGMENTS

# ------------------------------------------------------------------------------ a printed limb

# Winter DA, Biomechanics and Motor Control of Human Movement, table 4.1 (after Dempster): mass
# and distance of the mass centre from the proximal end; example of a limb, with the same
# coordinates and answers in BMClab's notebook BodySegmentParameters.
TOE, ANKLE, KNEE, HIP = (
    np.array(p) for p in [(1.011, 0.013), (0.849, 0.110), (0.864, 0.549), (0.721, 0.928)]
)
LIMB = {
    "foot": (ANKLE, TOE, 0.0145, 0.500),
    "leg": (KNEE, ANKLE, 0.0465, 0.433),
    "thigh": (HIP, KNEE, 0.100, 0.433),
}


@pytest.mark.parametrize(
    ("segment", "printed"),
    [("foot", (0.930, 0.062)), ("leg", (0.858, 0.359)), ("thigh", (0.783, 0.764))],
)
def test_segments_of_a_printed_limb(segment, printed):
    proximal, distal, _, ratio = LIMB[segment]
    # printed to the millimetre: half of one, and the foot's 0.0615 is rounded up
    assert segment_mass_centre(proximal, distal, ratio) == pytest.approx(printed, abs=5.01e-4)


def test_a_printed_limb_as_a_whole():
    centres = np.stack([segment_mass_centre(a, b, ratio) for a, b, _, ratio in LIMB.values()])
    masses = np.array([mass for _, _, mass, _ in LIMB.values()])
    # printed to the millimetre: half of one
    assert combined_mass_centre(centres, masses) == pytest.approx((0.818, 0.584), abs=5e-4)
    # more digits, worked out by hand from the same inputs
    assert combined_mass_centre(centres, masses) == pytest.approx((0.817707, 0.583668), abs=1e-6)


@pytest.mark.parametrize(
    ("hip", "knee", "head_of_fibula", "ankle", "toe_joint", "limb_cm"),
    [
        # The same book, table A.1, raw rows 1 and 50 in cm (BMClab, WinterTableA1.txt); the mass
        # centre worked out by hand with the table above (leg from the head of the fibula).
        (
            (44.94, 78.58), (41.00, 47.40), (35.91, 40.53), (9.31, 21.44), (7.53, 9.35),
            (34.6567, 51.1268),
        ),
        (
            (142.02, 82.65), (140.11, 51.09), (137.05, 42.57), (130.56, 9.99), (139.60, 3.63),
            (138.6342, 51.6815),
        ),
    ],
)  # fmt: skip
def test_limb_of_a_printed_walk(hip, knee, head_of_fibula, ankle, toe_joint, limb_cm):
    ends = {"foot": (ankle, toe_joint), "leg": (head_of_fibula, ankle), "thigh": (hip, knee)}
    centres = np.stack(
        [segment_mass_centre(*map(np.array, ends[key]), LIMB[key][3]) for key in LIMB]
    )
    masses = np.array([LIMB[key][2] for key in LIMB])
    # four decimals
    assert combined_mass_centre(centres, masses) == pytest.approx(limb_cm, abs=5e-5)


# ------------------------------------------------------------------------------ the whole body

# A posture of our own (no printed example of a whole body was found), x forward and y up, m; the
# answers were worked out by hand with table 4 of de Leva P (1996) J Biomech 29:1223-1230.
MIDLINE = {"head_top": (0.30, 1.70), "neck": (0.22, 1.44)}
LEFT = {
    "shoulder": (0.22, 1.37), "elbow": (0.50, 1.40), "wrist": (0.74, 1.36), "hand": (0.82, 1.34),
    "hip": (0.02, 0.90), "knee": (0.40, 0.74), "ankle": (0.62, 0.40), "heel": (0.58, 0.32),
    "toe": (0.82, 0.34),
}  # fmt: skip
RIGHT = {
    "shoulder": (0.18, 1.39), "elbow": (-0.08, 1.46), "wrist": (-0.14, 1.70),
    "hand": (-0.15, 1.79), "hip": (-0.02, 0.90), "knee": (-0.20, 0.52), "ankle": (-0.52, 0.26),
    "heel": (-0.58, 0.30), "toe": (-0.44, 0.06),
}  # fmt: skip
LEG_PARTS = {"hip", "knee", "ankle", "heel", "toe"}


def whole_body(female_share, y_m=0.0, left=LEFT, right=RIGHT):
    """Return the posture of a right-hander: throwing arm and drive leg on the right."""
    points = {role: (x, y_m, z) for role, (x, z) in MIDLINE.items()}
    for side, arm, leg in ((left, "glove", "lead"), (right, "throwing", "drive")):
        for part, (x, z) in side.items():
            points[f"{leg if part in LEG_PARTS else arm}_{part}"] = (x, y_m, z)
    return Pose(
        {role: np.array(place) for role, place in points.items()}, np.array(1.8), female_share
    )


@pytest.mark.parametrize(
    ("female_share", "centre"), [(0.0, (0.111441, 1.035841)), (1.0, (0.111650, 1.037561))]
)
def test_mass_centre_of_a_whole_body(female_share, centre):
    x, y, z = mass_centre(whole_body(female_share, y_m=0.4))
    # six decimals
    assert (x, z) == pytest.approx(centre, abs=5e-7)
    assert y == pytest.approx(0.4)


def test_mass_centre_where_the_sex_is_not_known_lies_between():
    x, _, z = mass_centre(whole_body(0.5))
    # means of masses and of ratios: not quite the mean of the two, a tenth of a millimetre off
    assert (x, z) == pytest.approx((0.1115455, 1.036701), abs=1e-4)


@pytest.mark.parametrize(
    ("segment", "proximal", "distal", "centre"),
    [
        ("head", (0.30, 1.70), (0.22, 1.44), (0.259984, 1.569948)),
        ("trunk", (0.20, 1.38), (0.0, 0.90), (0.113800, 1.173120)),
        ("left_thigh", LEFT["hip"], LEFT["knee"], (0.175610, 0.834480)),
        ("right_thigh", RIGHT["hip"], RIGHT["knee"], (-0.093710, 0.744390)),
        ("left_forearm", LEFT["elbow"], LEFT["wrist"], (0.609776, 1.381704)),
    ],
)
def test_mass_centres_of_its_segments(segment, proximal, distal, centre):
    ratio = SEGMENT_BY_KEY[segment].mass_centre["male"]
    # six decimals
    assert segment_mass_centre(np.array(proximal), np.array(distal), ratio) == pytest.approx(
        centre, abs=5e-7
    )


def test_left_and_right_weigh_the_same():
    # the same two sides changed over: a mirrored thrower
    there = mass_centre(whole_body(0.0))
    assert mass_centre(whole_body(0.0, left=RIGHT, right=LEFT)) == pytest.approx(there)


def test_a_point_without_a_place_makes_the_mass_centre_unknown():
    pose = whole_body(0.0)
    points = dict(pose.points) | {"glove_elbow": np.full(3, np.nan)}
    assert np.all(np.isnan(mass_centre(Pose(points, pose.height_m))))


def test_hands_and_feet_that_are_not_placed_hardly_move_it():
    pose = whole_body(0.0)
    fewer = {
        role: place
        for role, place in pose.points.items()
        if role.rpartition("_")[2] not in {"hand", "heel", "toe"}
    }
    gap = np.linalg.norm(mass_centre(Pose(fewer, pose.height_m)) - mass_centre(pose))
    # two feet of 1.37 % moved by up to 12 cm, two hands of 0.61 % by up to 7 cm
    assert 0.0 < gap < 2 * 0.0137 * 0.12 + 2 * 0.0061 * 0.07


def test_lead_knee_of_that_posture():
    expected = flexion_deg(*(np.array(LEFT[part]) for part in ("hip", "knee", "ankle")))
    assert lead_knee_flexion(whole_body(0.0, y_m=-0.2)) == pytest.approx(float(expected))


# ------------------------------------------------------------------------------ the table itself


@pytest.mark.parametrize(("sex", "total"), [("male", 1.0), ("female", 0.9999)])
def test_masses_add_up_as_printed(sex, total):
    # the female column of the paper adds up to 99.99 %, so the sum is divided by
    assert len(SEGMENTS) == 14
    assert sum(segment.mass[sex] for segment in SEGMENTS) == pytest.approx(total, abs=1e-9)
