"""Metrics of rotation and of the arm: three-dimensional, so one camera does not show them.

References
----------
.. [1] Kageyama M et al. (2015). J Sports Sci Med 14:246-255 (pelvis and upper torso, 0 side-on).
.. [2] Orishimo KF et al. (2023). J Strength Cond Res 37:623-628 (separation, peak speeds).
"""

from __future__ import annotations

from deliverylab.core.metrics import measures
from deliverylab.core.metrics.spec import MetricSpec

HIPS = ("drive_hip", "lead_hip")
SHOULDERS = ("throwing_shoulder", "glove_shoulder")
ARM = ("throwing_shoulder", "throwing_elbow", "throwing_wrist")
DRIVE_LEG = ("drive_hip", "drive_knee", "drive_ankle")
TRUNK = (*SHOULDERS, *HIPS)

ROTATION_METRICS: tuple[MetricSpec, ...] = (
    MetricSpec(
        key="peak_drive_knee_extension_speed", name="Drive knee push, top speed", unit="deg/s",
        decimals=0, phase="stride", kind="peak_rate", events=("leg_lift", "foot_contact"),
        landmarks=DRIVE_LEG, views=(), measure=measures.drive_knee_flexion, min_rate_hz=60.0,
        is_falling=True, projection_u={"": 60.0},
        definition="fastest straightening of the drive knee between leg lift and foot contact",
        meaning="how quickly the back leg pushes",
        limit="the back knee bends out of a side camera's picture during the stride: such a camera "
        "sees less than half of its straightening, and that at another instant",
        source="common practice", more="faster", less="slower",
    ),
    MetricSpec(
        key="drive_knee_push_time", name="Drive knee push before contact", unit="s",
        decimals=2, phase="stride", kind="peak_rate_time", events=("leg_lift", "foot_contact"),
        landmarks=DRIVE_LEG, views=(), measure=None, min_rate_hz=60.0,
        peak_of="peak_drive_knee_extension_speed", projection_u={"": 0.04},
        definition="time from the fastest straightening of the drive knee to foot contact",
        meaning="whether the back leg pushes before the foot lands or only as it lands",
        limit="the back knee bends out of a side camera's picture during the stride: such a camera "
        "sees less than half of its straightening, and that at another instant",
        source="common practice", more="earlier", less="later",
    ),
    MetricSpec(
        key="pelvis_rotation", name="Pelvis rotation", unit="deg", decimals=0,
        phase="foot contact", kind="at_event", events=("leg_lift", "foot_contact", "release"),
        landmarks=HIPS, views=(), measure=measures.pelvis_rotation,
        definition="hip line about the vertical, 0 side-on, opening to the plate positive",
        meaning="whether the hips open on time",
        limit="one side camera is off by 5-14°",
        source="Kageyama et al. 2015", more="more open", less="more closed", typical_slope=500.0,
    ),
    MetricSpec(
        key="shoulder_line_rotation", name="Shoulder line rotation", unit="deg", decimals=0,
        phase="foot contact", kind="at_event", events=("leg_lift", "foot_contact", "release"),
        landmarks=SHOULDERS, views=(), measure=measures.shoulder_line_rotation,
        definition="shoulder line about the vertical, 0 side-on, opening to the plate positive",
        meaning="whether the shoulders stay closed while the hips open",
        limit="the line of the shoulders; a value taken from the rib cage is another quantity",
        source="Kageyama et al. 2015", more="more open", less="more closed", typical_slope=300.0,
    ),
    MetricSpec(
        key="separation", name="Hip-to-shoulder separation", unit="deg", decimals=0,
        phase="foot contact", kind="at_event", events=("foot_contact",),
        landmarks=TRUNK, views=(), measure=measures.separation,
        definition="pelvis rotation less shoulder-line rotation, positive with the pelvis ahead",
        meaning="how far the hips lead the shoulders when the foot is down",
        limit="one side camera is off by 16°",
        source="Kageyama et al. 2015; Orishimo et al. 2023", more="more", less="less",
        typical_slope=300.0,
    ),
    MetricSpec(
        key="max_separation", name="Largest separation", unit="deg", decimals=0,
        phase="foot contact", kind="extreme", events=("leg_lift", "release"),
        landmarks=TRUNK, views=(), measure=measures.separation,
        definition="largest pelvis less shoulder-line rotation between leg lift and release",
        meaning="how far the hips lead the shoulders at most",
        limit="needs no event, so it is surer than the value at contact",
        source="common practice", more="more", less="less",
    ),
    MetricSpec(
        key="stride_offset", name="Front foot across", unit="m", decimals=2,
        phase="foot contact", kind="between_events", events=("leg_lift", "foot_plant"),
        landmarks=("drive_ankle", "lead_ankle"), start_landmarks=("drive_ankle",),
        views=(), measure=measures.stride_offset,
        definition="lead ankle at foot plant beside the line from the drive ankle to the plate, "
        "closed positive",
        meaning="whether the stride goes to the plate, across, or open",
        limit="runs along the line of sight of a side camera",
        source="common practice", more="more closed", less="more open",
    ),
    MetricSpec(
        key="lead_foot_direction", name="Front foot direction", unit="deg", decimals=0,
        phase="foot contact", kind="at_event", events=("foot_plant",),
        landmarks=("lead_heel", "lead_toe"), views=(), measure=measures.lead_foot_direction,
        definition="lead heel to toe against the line to the plate, closed positive",
        meaning="whether the front foot lets the hips open",
        limit="one camera sees how long the foot looks, not where it points",
        source="common practice", more="more closed", less="more open",
    ),
    MetricSpec(
        key="elbow_flexion", name="Throwing elbow flexion", unit="deg", decimals=0,
        phase="foot contact", kind="at_event",
        events=("foot_contact", "full_layback", "release"),
        landmarks=ARM, views=(), measure=measures.elbow_flexion,
        definition="throwing elbow, shoulder-elbow-wrist, 0 = straight",
        meaning="how the arm is folded as it comes round",
        limit="one camera is off by 15-66°",
        source="common practice",
        more="more bent", less="straighter", typical_slope=300.0,
    ),
    MetricSpec(
        key="max_elbow_flexion", name="Largest elbow flexion", unit="deg", decimals=0,
        phase="layback", kind="extreme", events=("foot_contact", "release"),
        landmarks=ARM, views=(), measure=measures.elbow_flexion, projection_u={"": 1.0},
        definition="largest throwing-elbow flexion between foot contact and release",
        meaning="how tightly the arm folds",
        limit="needs no event, so it is surer than the value at layback",
        source="common practice", more="more bent", less="straighter",
    ),
    MetricSpec(
        key="shoulder_abduction", name="Upper arm height", unit="deg", decimals=0,
        phase="foot contact", kind="at_event", events=("foot_contact", "release"),
        landmarks=("throwing_shoulder", "throwing_elbow", "glove_shoulder", *HIPS), views=(),
        measure=measures.shoulder_abduction,
        definition="throwing upper arm against the trunk, 90 = level with the shoulders",
        meaning="whether the elbow is up with the shoulders",
        limit="one side camera is off by 15°",
        source="common practice",
        more="higher", less="lower", typical_slope=100.0,
    ),
    MetricSpec(
        key="horizontal_abduction", name="Upper arm behind the shoulders", unit="deg", decimals=0,
        phase="layback", kind="at_event", events=("foot_contact", "full_layback"),
        landmarks=("throwing_elbow", *TRUNK), views=(), measure=measures.horizontal_abduction,
        definition="throwing upper arm behind (+) or ahead (−) of the shoulder line, seen along "
        "the trunk",
        meaning="whether the arm trails behind the shoulders",
        limit="cannot be seen from the side",
        source="common practice", more="farther behind", less="farther ahead",
        typical_slope=200.0,
    ),
    MetricSpec(
        key="external_rotation", name="Forearm layback", unit="deg", decimals=0,
        phase="foot contact", kind="at_event", events=("foot_contact",),
        landmarks=(*ARM, "glove_shoulder", *HIPS), views=(), measure=measures.external_rotation,
        definition="throwing forearm about the upper arm, 90 = square to the trunk's front",
        meaning="whether the arm is early or late when the foot lands",
        limit="what one camera shows of it has nothing to do with the truth",
        source="common practice",
        more="laid back more", less="laid back less", typical_slope=800.0,
    ),
    MetricSpec(
        key="max_external_rotation", name="Largest layback", unit="deg", decimals=0,
        phase="layback", kind="extreme", events=("foot_contact", "release"),
        landmarks=(*ARM, "glove_shoulder", *HIPS), views=(), measure=measures.external_rotation,
        definition="largest turn of the forearm about the upper arm between contact and release",
        meaning="how far the forearm lays back",
        limit="what one camera shows of it has nothing to do with the truth",
        source="Kageyama et al. 2015 (maximal external rotation as an event)",
        more="laid back more", less="laid back less",
    ),
    MetricSpec(
        key="glove_distance", name="Glove from the chest", unit="% height", decimals=0,
        phase="foot contact", kind="at_event", events=("foot_contact", "release"),
        landmarks=("glove_hand", *SHOULDERS), views=(), measure=measures.glove_distance,
        needs_scale=True, needs_height=True,
        definition="glove hand to the middle of the shoulders, as a share of height",
        meaning="whether the glove side stays out or tucks early",
        limit="at times the glove arm points at the camera, wherever a single one stands",
        source="common practice", more="farther out", less="closer in", typical_slope=100.0,
    ),
    MetricSpec(
        key="max_glove_distance", name="Glove farthest from the chest", unit="% height", decimals=0,
        phase="stride", kind="extreme", events=("leg_lift", "release"),
        landmarks=("glove_hand", *SHOULDERS), views=(), measure=measures.glove_distance,
        needs_height=True,
        definition="largest distance of the glove hand from the middle of the shoulders between leg "
        "lift and release, as a share of height",
        meaning="how far the glove side reaches out",
        limit="at times the glove arm points at the camera, wherever a single one stands",
        source="common practice", more="farther out", less="closer in",
    ),
    MetricSpec(
        key="glove_tuck_time", name="Glove starts to tuck before release", unit="s", decimals=2,
        phase="timing", kind="peak_rate_time", events=("leg_lift", "release"),
        landmarks=("glove_hand", *SHOULDERS), views=(), measure=None,
        peak_of="max_glove_distance",
        definition="time from the instant at which the glove hand is farthest from the chest, from "
        "where it comes in, to release",
        meaning="whether the glove side pulls early",
        limit="a glove that stays out for a while has no instant: then it is not shown",
        source="common practice", more="earlier", less="later",
    ),
    MetricSpec(
        key="peak_pelvis_speed", name="Top pelvis rotation speed", unit="deg/s", decimals=0,
        phase="timing", kind="peak_rate", events=("leg_lift", "release"),
        landmarks=HIPS, views=(), measure=measures.pelvis_rotation, min_rate_hz=120.0,
        definition="largest speed of the hip line about the vertical",
        meaning="how fast the hips turn",
        limit="needs two cameras at 120 frames a second or more",
        source="Orishimo et al. 2023", more="faster", less="slower",
    ),
    MetricSpec(
        key="peak_shoulder_line_speed", name="Top shoulder line rotation speed", unit="deg/s",
        decimals=0, phase="timing", kind="peak_rate", events=("leg_lift", "release"),
        landmarks=SHOULDERS, views=(), measure=measures.shoulder_line_rotation, min_rate_hz=120.0,
        cutoff_hz=20.0,
        definition="largest speed of the shoulder line about the vertical",
        meaning="how fast the shoulders turn",
        limit="needs two cameras at 120 frames a second or more",
        source="Orishimo et al. 2023", more="faster", less="slower",
    ),
    MetricSpec(
        key="peak_elbow_extension_speed", name="Top elbow extension speed", unit="deg/s",
        decimals=0, phase="timing", kind="peak_rate", events=("foot_contact", "release"),
        landmarks=ARM, views=(), measure=measures.elbow_flexion, min_rate_hz=240.0,
        is_falling=True,
        definition="largest speed of elbow straightening between foot contact and release",
        meaning="how fast the arm unfolds",
        limit="needs two cameras at 240 frames a second or more; about a fifth too low at 60",
        source="common practice",
        more="faster", less="slower",
    ),
    MetricSpec(
        key="peak_pelvis_speed_time", name="Pelvis at its fastest", unit="%", decimals=0,
        phase="timing", kind="peak_rate_time", events=("foot_contact", "release"),
        landmarks=HIPS, views=(), measure=None, min_rate_hz=120.0, peak_of="peak_pelvis_speed",
        projection_u={"": 3.0},
        definition="when the hip line turns fastest, from foot contact (0 %) to release (100 %)",
        meaning="when the hips do their part",
        limit="which of two parts comes first in one delivery is not told by it: see the order of "
        "the peaks over five deliveries or more",
        source="common practice", more="later", less="earlier",
    ),
    MetricSpec(
        key="peak_shoulder_line_speed_time", name="Shoulder line at its fastest", unit="%",
        decimals=0, phase="timing", kind="peak_rate_time", events=("foot_contact", "release"),
        landmarks=SHOULDERS, views=(), measure=None, min_rate_hz=120.0,
        peak_of="peak_shoulder_line_speed", projection_u={"": 3.0},
        definition="when the shoulder line turns fastest, from foot contact (0 %) to release (100 %)",
        meaning="when the trunk does its part",
        limit="which of two parts comes first in one delivery is not told by it: see the order of "
        "the peaks over five deliveries or more",
        source="common practice", more="later", less="earlier",
    ),
    MetricSpec(
        key="peak_elbow_extension_speed_time", name="Elbow straightening at its fastest", unit="%",
        decimals=0, phase="timing", kind="peak_rate_time", events=("foot_contact", "release"),
        landmarks=ARM, views=(), measure=None, min_rate_hz=240.0,
        peak_of="peak_elbow_extension_speed",
        definition="when the elbow straightens fastest, from foot contact (0 %) to release (100 %)",
        meaning="when the arm does its part",
        limit="which of two parts comes first in one delivery is not told by it: see the order of "
        "the peaks over five deliveries or more",
        source="common practice", more="later", less="earlier",
    ),
)  # fmt: skip
