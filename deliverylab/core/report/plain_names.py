"""What the page calls each metric: everyday words, for who never heard of flexion or a pelvis."""

from __future__ import annotations

from deliverylab.core.metrics.spec import Result

PLAIN_NAMES: dict[str, str] = {
    "lead_knee_height": "Front knee height",
    "com_ahead_of_drive_ankle": "Body ahead of the back foot",
    "com_lean_from_drive_ankle": "Lean over the back foot",
    "drive_knee_flexion": "Back knee bend",
    "com_forward_speed": "Forward speed",
    "stride_length": "Stride",
    "stride_length_m": "Stride",
    "max_com_forward_speed": "Top forward speed",
    "max_com_forward_speed_time": "Top forward speed before contact",
    "support_force_direction": "Lean of the push",
    "peak_drive_knee_extension_speed": "Speed of the back knee’s push",
    "drive_knee_push_time": "Back knee’s push before contact",
    "max_glove_distance": "Glove farthest from the chest",
    "trunk_forward_tilt": "Upper body lean",
    "lead_knee_flexion": "Front knee bend",
    "pelvis_rotation": "Hip turn",
    "shoulder_line_rotation": "Shoulder turn",
    "separation": "Hips ahead of the shoulders",
    "max_separation": "Hips ahead of the shoulders, most",
    "stride_offset": "Front foot across",
    "lead_foot_direction": "Front foot direction",
    "elbow_flexion": "Elbow bend",
    "shoulder_abduction": "Upper arm height",
    "external_rotation": "Forearm laid back",
    "glove_distance": "Glove from the chest",
    "max_elbow_flexion": "Elbow bend, most",
    "horizontal_abduction": "Upper arm behind the shoulders",
    "max_external_rotation": "Forearm laid back, most",
    "lead_knee_extension": "Front knee straightening",
    "trunk_lateral_tilt": "Upper body lean to the side",
    "arm_slot": "Arm slot",
    "release_height": "Release height",
    "release_extension": "Release ahead of the rubber",
    "release_ahead_of_lead_foot": "Release ahead of the front foot",
    "com_forward_speed_kept": "Forward speed kept since contact",
    "com_forward_speed_kept_from_top": "Top forward speed kept",
    "lift_to_contact_time": "Time from lift to contact",
    "contact_to_release_time": "Time from contact to release",
    "glove_tuck_time": "Glove starts to tuck before release",
    "peak_pelvis_speed": "Top speed of the hip turn",
    "peak_shoulder_line_speed": "Top speed of the shoulder turn",
    "peak_elbow_extension_speed": "Top speed of the elbow",
    "peak_pelvis_speed_time": "Hips at their fastest",
    "peak_shoulder_line_speed_time": "Shoulders at their fastest",
    "peak_elbow_extension_speed_time": "Elbow at its fastest",
    "ball_speed": "Ball speed, radar",
    "ball_speed_measured": "Ball speed, from the clip",
    "ball_release_height": "Ball height at release",
    "ball_launch_angle": "Ball’s angle at release",
}
"""By metric.  A test sees that every metric of the catalogue has one."""


def plain_name(result: Result) -> str:
    """Return what the page calls a result's metric."""
    return PLAIN_NAMES.get(result.metric, result.name)
