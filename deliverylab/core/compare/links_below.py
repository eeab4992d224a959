"""Links that begin with the legs and the hips: momentum, the drive leg, the front foot and knee.

A row says a direction at both ends; read the other way round it holds as well, unless it says so.
None of it proves a cause: published rows are associations between or within pitchers, the others are
what instructors commonly say.

References
----------
.. [1] Matsuo T et al. (2001). J Appl Biomech 17:1-13 (abstract): the faster of 127 throwers straightened
   the lead knee faster (70 % of them straightened it toward release), the slower bent it faster.
.. [2] van Trigt B et al. (2018). Sports 6(2):51 (abstract): 0.45 m/s for 18° more knee extension at
   layback; 52 young pitchers.
.. [3] Orishimo KF et al. (2023). J Strength Cond Res 37:623-628 (abstract): pelvis speed explained 23 %
   of the trunk's peak speed; 29 pitchers.
"""

from __future__ import annotations

from deliverylab.core.compare.link_rows import SAME_COURSE, less, link, more
from deliverylab.core.model.library import Link

MOMENTUM: tuple[Link, ...] = (
    link(
        less("com_ahead_of_drive_ankle", "leg_lift"), less("com_lean_from_drive_ankle", "leg_lift"),
        "a body that hangs back does not lean to the plate either", strength=SAME_COURSE,
    ),
    link(
        less("com_lean_from_drive_ankle", "leg_lift"), less("com_forward_speed", "leg_lift"),
        "a body that stands upright over the drive foot has not begun to move to the plate",
    ),
    link(
        less("com_ahead_of_drive_ankle", "leg_lift"), less("com_forward_speed", "leg_lift"),
        "a body that hangs back behind the drive foot has not begun to move to the plate",
    ),
    link(
        less("com_forward_speed", "leg_lift"), more("lift_to_contact_time"),
        "a body that sets off slowly needs longer until the foot is down",
    ),
    link(
        less("com_forward_speed", "leg_lift"), less("com_forward_speed", "foot_contact"),
        "speed that is missing at leg lift has to be made up before the foot lands",
    ),
    link(
        less("com_forward_speed", "leg_lift"), less("stride_length"),
        "after a slow start the lead leg has to reach by itself",
    ),
    link(
        less("com_forward_speed", "leg_lift"), more("glove_tuck_time"),
        "where the body brings little speed along, the glove side tends to pull instead",
    ),
    link(
        less("com_forward_speed", "leg_lift"), less("glove_distance", "foot_contact"),
        "where the body brings little speed along, the glove side tends to pull instead",
    ),
    link(
        less("com_forward_speed", "leg_lift"), less("lead_foot_direction", "foot_plant"),
        "where the body brings little speed along, the lead leg tends to swing round and pull",
    ),
    link(
        less("drive_knee_flexion", "leg_lift"), less("peak_drive_knee_extension_speed"),
        "a back knee that is hardly bent has little to straighten", is_mirrored=False,
    ),
    link(
        less("drive_knee_flexion", "leg_lift"), less("support_force_direction"),
        "a back knee that is hardly bent pushes up more than ahead", is_mirrored=False,
    ),
    link(
        less("drive_knee_flexion", "leg_lift"), less("com_forward_speed", "foot_contact"),
        "a back knee that is hardly bent has little left to push with", is_mirrored=False,
    ),
    link(
        less("peak_drive_knee_extension_speed"), less("com_forward_speed", "foot_contact"),
        "the back leg's push is what speeds the body up before the foot lands",
    ),
    link(
        less("drive_knee_push_time"), less("com_forward_speed", "foot_contact"),
        "a back leg that pushes only as the foot lands comes too late to speed the body up",
    ),
    link(
        less("support_force_direction"), less("com_forward_speed", "foot_contact"),
        "a push that goes up more than ahead gives the body less speed to the plate",
    ),
    link(
        less("com_forward_speed", "foot_contact"), less("max_com_forward_speed"),
        "the body is near its fastest when the foot lands", strength=SAME_COURSE,
    ),
    link(
        less("com_forward_speed", "foot_contact"), less("stride_length"),
        "the slower the body goes out, the nearer the foot comes down",
    ),
    link(
        less("com_forward_speed", "foot_contact"), less("com_forward_speed", "release"),
        "speed that was not there at contact is not there at release",
    ),
    link(
        less("stride_length"), less("release_extension", "release"),
        "a shorter stride ends nearer to the rubber",
    ),
)  # fmt: skip
"""Over the drive foot and out: how the body gets moving."""

HIPS: tuple[Link, ...] = (
    link(
        more("pelvis_rotation", "leg_lift"), more("pelvis_rotation", "foot_contact"),
        "hips that were not turned in at leg lift tend to be open sooner",
    ),
    link(
        less("lead_foot_direction", "foot_plant"), more("pelvis_rotation", "foot_contact"),
        "a front foot that flies open takes the hips with it",
    ),
    link(
        less("stride_offset"), more("pelvis_rotation", "foot_contact"),
        "a front foot that lands to the open side lets the hips open early",
    ),
    link(
        more("stride_offset"), less("pelvis_rotation", "release"),
        "a front foot that lands across the body keeps the hips from turning through",
        is_mirrored=False,
    ),
    link(
        more("pelvis_rotation", "foot_contact"), more("shoulder_line_rotation", "foot_contact"),
        "hips that are open early draw the shoulders along",
    ),
    link(
        less("pelvis_rotation", "foot_contact"), less("separation", "foot_contact"),
        "hips that are late have not left the shoulders behind yet",
    ),
    link(
        more("pelvis_rotation", "foot_contact"), less("peak_pelvis_speed"),
        "hips that are open at contact have less way left to turn fast in",
    ),
    link(
        less("peak_pelvis_speed"), less("peak_shoulder_line_speed"),
        "a slower pelvis went with a slower trunk", "Orishimo et al. 2023",
    ),
)  # fmt: skip
"""Turned in at leg lift, and opened at contact."""

FRONT_KNEE: tuple[Link, ...] = (
    link(
        more("lead_knee_flexion", "foot_contact"), more("lead_knee_flexion", "foot_plant"),
        "a knee that lands bent is still bent when the foot is down", strength=SAME_COURSE,
    ),
    link(
        more("lead_knee_flexion", "foot_plant"), more("lead_knee_flexion", "full_layback"),
        "a knee that does not hold when the foot is down goes on to give",
    ),
    link(
        more("lead_knee_flexion", "full_layback"), less("lead_knee_extension"),
        "a knee that has given by layback has little time left to straighten",
    ),
    link(
        more("lead_knee_flexion", "full_layback"), more("lead_knee_flexion", "release"),
        "a knee that has given by layback is still bent at release", strength=SAME_COURSE,
    ),
    link(
        more("lead_knee_flexion", "full_layback"), less("trunk_forward_tilt", "full_layback"),
        "a front knee that gives does not stop the hips, and the trunk stays back",
    ),
    link(
        more("lead_knee_flexion", "full_layback"), less("ball_speed"),
        "a straighter front knee at layback went with faster balls", "van Trigt et al. 2018",
    ),
    link(
        more("lead_knee_flexion", "release"), less("trunk_forward_tilt", "release"),
        "a front knee that is still bent does not stop the hips, and the trunk stays back",
    ),
    link(
        less("lead_knee_extension"), less("trunk_forward_tilt", "release"),
        "a front knee that gives does not stop the hips, and the trunk stays back",
    ),
    link(
        less("lead_knee_extension"), more("com_forward_speed", "release"),
        "a front leg that gives stops the body less",
    ),
    link(
        less("lead_knee_extension"), more("com_forward_speed_kept", "release"),
        "a front leg that gives stops the body less",
    ),
    link(
        less("lead_knee_extension"), more("com_forward_speed_kept_from_top", "release"),
        "a front leg that gives stops the body less",
    ),
    link(
        less("lead_knee_extension"), less("ball_speed"),
        "faster throwers straightened the front knee faster, most of them toward release",
        "Matsuo et al. 2001",
    ),
)  # fmt: skip
"""The front knee gives, or braces."""
