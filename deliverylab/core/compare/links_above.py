"""Links that begin with the glove side, the shoulders, the trunk and the arm.

See `links_below` for how a row is read.

References
----------
.. [1] Orishimo KF et al. (2023). J Strength Cond Res 37:623-628 (abstract): separation at contact explained
   17 % of the trunk's peak speed, and that 25 % of ball speed; 29 pitchers.
.. [2] Aguinaldo AL et al. (2007). J Appl Biomech 23:42-51 (abstract): professionals turn the trunk
   later than younger players; 38 pitchers.
.. [3] Matsuo T et al. (2001). J Appl Biomech 17:1-13 (abstract): the faster of 127 throwers had the trunk
   farther forward at release, and the arm laid back farther.
.. [4] Stodden DF et al. (2005). J Appl Biomech 21:44-56 (abstract): in a pitcher's faster throws the trunk
   is farther forward at release, and the arm less ahead of the shoulders at contact; 19 pitchers.
.. [5] Solomito MJ et al. (2015) (abstract): 10° more side tilt went with 0.5 m/s; 99 pitchers.
"""

from __future__ import annotations

from deliverylab.core.compare.link_rows import (
    OF_COMMON_PRACTICE,
    SAME_COURSE,
    less,
    link,
    more,
)
from deliverylab.core.model.library import Link

SHOULDERS: tuple[Link, ...] = (
    link(
        more("shoulder_line_rotation", "leg_lift"), more("shoulder_line_rotation", "foot_contact"),
        "shoulders that were not turned in at leg lift have less to hold back",
    ),
    link(
        more("glove_tuck_time"), less("glove_distance", "foot_contact"),
        "a glove that starts in early is near the chest when the foot lands", strength=SAME_COURSE,
    ),
    link(
        more("glove_tuck_time"), more("shoulder_line_rotation", "foot_contact"),
        "a glove that is pulled in early opens the shoulders with the hips",
    ),
    link(
        less("max_glove_distance"), less("glove_distance", "foot_contact"),
        "a glove that never reached out is near the chest when the foot lands",
    ),
    link(
        less("glove_distance", "foot_contact"), more("shoulder_line_rotation", "foot_contact"),
        "a glove that is near the chest when the foot lands holds the shoulders less",
    ),
    link(
        more("shoulder_line_rotation", "foot_contact"), less("separation", "foot_contact"),
        "shoulders that open with the hips leave no separation",
    ),
    link(
        more("shoulder_line_rotation", "foot_contact"), less("max_separation"),
        "shoulders that open with the hips leave little separation",
    ),
    link(
        less("separation", "foot_contact"), less("max_separation"),
        "separation that is missing at contact is seldom made up", strength=SAME_COURSE,
    ),
    link(
        more("shoulder_line_rotation", "foot_contact"), less("peak_shoulder_line_speed_time"),
        "shoulders that leave early are at their fastest early",
    ),
    link(
        more("shoulder_line_rotation", "foot_contact"), less("external_rotation", "foot_contact"),
        "where the shoulders leave early, the arm is not up yet", is_mirrored=False,
    ),
    link(
        more("shoulder_line_rotation", "foot_contact"),
        more("horizontal_abduction", "full_layback"),
        "where the shoulders leave early, the arm trails behind them", is_mirrored=False,
    ),
)  # fmt: skip
"""Glove side and shoulders, until the separation is kept or lost."""

TRUNK: tuple[Link, ...] = (
    link(
        less("separation", "foot_contact"), less("peak_shoulder_line_speed"),
        "less separation at contact went with a slower trunk", "Orishimo et al. 2023",
    ),
    link(
        less("separation", "foot_contact"), less("trunk_forward_tilt", "full_layback"),
        "a trunk that has turned already has little left to come forward with",
    ),
    link(
        less("separation", "foot_contact"), less("trunk_forward_tilt", "release"),
        "a trunk that has turned already has little left to come forward with",
    ),
    link(
        more("shoulder_line_rotation", "foot_contact"), less("trunk_forward_tilt", "full_layback"),
        "shoulders that open early tend to leave the trunk upright",
    ),
    link(
        more("shoulder_line_rotation", "foot_contact"), less("trunk_forward_tilt", "release"),
        "shoulders that open early tend to leave the trunk upright",
    ),
    link(
        less("max_separation"), less("trunk_forward_tilt", "release"),
        "a trunk that has turned already has little left to come forward with",
    ),
    link(
        more("trunk_forward_tilt", "leg_lift"), more("trunk_forward_tilt", "foot_contact"),
        "a trunk that leans to the plate at leg lift tends to land leaning",
    ),
    link(
        more("trunk_forward_tilt", "foot_contact"), more("trunk_forward_tilt", "foot_plant"),
        "how the trunk stands at contact is how it stands a moment later", strength=SAME_COURSE,
    ),
    link(
        less("trunk_forward_tilt", "full_layback"), less("trunk_forward_tilt", "release"),
        "a trunk that is upright at layback has no time left to come forward",
    ),
    link(
        more("glove_tuck_time"), more("trunk_lateral_tilt", "full_layback"),
        "a glove that is pulled hard takes the trunk to its side",
    ),
    link(
        more("trunk_lateral_tilt", "foot_contact"), more("trunk_lateral_tilt", "full_layback"),
        "a trunk that leans to the glove side at contact goes on leaning",
    ),
    link(
        more("trunk_lateral_tilt", "full_layback"), more("trunk_lateral_tilt", "release"),
        "a trunk that leans to the glove side at layback leans there at release",
        strength=SAME_COURSE,
    ),
    link(
        more("trunk_lateral_tilt", "release"), less("arm_slot", "release"),
        "the more the trunk leans away, the higher the arm comes over",
    ),
    link(
        less("trunk_forward_tilt", "release"), less("release_extension", "release"),
        "an upright trunk lets go of the ball nearer to the rubber",
    ),
    link(
        less("trunk_forward_tilt", "release"), less("release_ahead_of_lead_foot", "release"),
        "an upright trunk lets go of the ball less far over the front foot",
    ),
    link(
        less("trunk_forward_tilt", "release"), more("release_height", "release"),
        "an upright trunk lets go of the ball from higher up",
    ),
)  # fmt: skip
"""What the trunk does with the separation, and where the ball is let go."""

ARM_AND_BALL: tuple[Link, ...] = (
    link(
        less("shoulder_abduction", "foot_contact"), less("shoulder_abduction", "release"),
        "an elbow that is not up when the foot lands is seldom up at release",
    ),
    link(
        less("peak_shoulder_line_speed"), less("max_external_rotation"),
        "the faster the trunk turns, the farther the forearm stays behind and lays back",
    ),
    link(
        less("peak_shoulder_line_speed"), less("peak_elbow_extension_speed"),
        "a slower trunk hands less on to the arm",
    ),
    link(
        less("peak_shoulder_line_speed"), less("ball_speed"),
        "a slower trunk went with slower balls", "Orishimo et al. 2023",
    ),
    link(
        less("peak_shoulder_line_speed_time"), less("ball_speed"),
        "professionals turned the trunk later; that this gives the ball speed is common practice",
        "Aguinaldo et al. 2007", strength=OF_COMMON_PRACTICE,
    ),
    link(
        less("horizontal_abduction", "foot_contact"), less("ball_speed"),
        "in faster throws the arm was less far ahead of the shoulders at contact",
        "Stodden et al. 2005",
    ),
    link(
        less("max_external_rotation"), less("ball_speed"),
        "faster throwers laid the arm back farther", "Matsuo et al. 2001",
    ),
    link(
        less("peak_elbow_extension_speed"), less("ball_speed"),
        "an arm that unfolds more slowly brings the ball less speed",
    ),
    link(
        less("trunk_forward_tilt", "release"), less("ball_speed"),
        "in faster throws the trunk was farther forward at release",
        "Matsuo et al. 2001; Stodden et al. 2005",
    ),
    link(
        less("trunk_lateral_tilt", "release"), less("ball_speed"),
        "more side tilt went with faster balls, which is no reason to seek it",
        "Solomito et al. 2015",
    ),
    link(
        less("release_extension", "release"), less("ball_speed"),
        "who lets go farther out front commonly throws faster",
    ),
    link(
        more("release_height", "release"), more("ball_release_height"),
        "the ball comes from where the hand is", strength=SAME_COURSE,
    ),
)  # fmt: skip
"""The arm, and the ball."""
