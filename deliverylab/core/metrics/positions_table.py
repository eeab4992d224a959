"""Metrics of posture and place that one side or end camera can carry."""

from __future__ import annotations

from deliverylab.core.metrics import measures
from deliverylab.core.metrics.body_mass import COM_LANDMARKS, COM_OPTIONAL
from deliverylab.core.metrics.spec import MetricSpec
from deliverylab.core.vocabulary.views import END_VIEWS, SIDE_VIEWS

LEAD_LEG = (("lead_hip", "lead_knee"), ("lead_knee", "lead_ankle"))
DRIVE_LEG = (("drive_hip", "drive_knee"), ("drive_knee", "drive_ankle"))
TRUNK = ("throwing_shoulder", "glove_shoulder", "drive_hip", "lead_hip")
KAGEYAMA = "Kageyama et al. 2015, J Sports Sci Med 14:246-255"

POSITION_METRICS: tuple[MetricSpec, ...] = (
    MetricSpec(
        key="lead_knee_height", name="Lead knee height", unit="% height", decimals=1,
        phase="leg lift", kind="at_event", events=("leg_lift",),
        landmarks=("lead_knee", "drive_heel", "drive_toe"), views=SIDE_VIEWS,
        measure=measures.lead_knee_height, needs_scale=True, needs_height=True,
        definition="lead knee above the middle of the drive foot, between heel and toe, as a share of "
        "standing height",
        meaning="how high the leg lift goes",
        limit="not a quality by itself: high and low lifts both work",
        source="common practice", more="higher", less="lower",
        projection_u={"": 0.1},
    ),
    MetricSpec(
        key="com_ahead_of_drive_ankle", name="Body ahead of the drive ankle", unit="% height",
        decimals=1, phase="leg lift", kind="at_event", events=("leg_lift",),
        landmarks=COM_LANDMARKS, optional=COM_OPTIONAL, views=SIDE_VIEWS,
        measure=measures.com_ahead_of_drive_ankle, needs_scale=True, needs_height=True,
        definition="whole-body centre of mass ahead of the drive ankle, toward the plate, as a "
        "share of height",
        meaning="whether the body already leads to the plate or still sits over the back foot",
        limit="a position, not a speed; see the forward speed beside it",
        source="de Leva 1996 (centre of mass); common practice (use)",
        more="farther ahead", less="farther back", projection_u={"": 0.1}, typical_slope=20.0,
    ),
    MetricSpec(
        key="com_lean_from_drive_ankle", name="Lean over the drive foot", unit="deg", decimals=1,
        phase="leg lift", kind="at_event", events=("leg_lift",),
        landmarks=COM_LANDMARKS, optional=COM_OPTIONAL, views=SIDE_VIEWS,
        measure=measures.com_lean_from_drive_ankle, needs_scale=True,
        definition="line from the drive ankle to the whole-body centre of mass against the vertical, "
        "toward the plate positive",
        meaning="whether the body has begun to fall toward the plate",
        limit="a position, not a push: what moves the body is the force under the foot",
        source="de Leva 1996 (centre of mass); common practice (use)",
        more="leans more to the plate", less="leans less to the plate",
        projection_u={"": 0.1}, typical_slope=20.0, believable=(-20.0, 30.0),
    ),
    MetricSpec(
        key="drive_knee_flexion", name="Drive knee flexion", unit="deg", decimals=0,
        phase="leg lift", kind="at_event", events=("leg_lift", "foot_contact"),
        landmarks=("drive_hip", "drive_knee", "drive_ankle"), views=SIDE_VIEWS,
        event_views={"leg_lift": END_VIEWS},
        measure=measures.drive_knee_flexion, segments=DRIVE_LEG,
        definition="drive knee, hip-knee-ankle, 0 = straight, in the plane of the picture",
        meaning="how deep the back leg is loaded",
        limit="at leg lift the knee bends toward the chest, so only a camera behind or ahead sees "
        "it; at contact it has turned toward the plate",
        source=KAGEYAMA, more="more bent", less="straighter",
        projection_u={"leg_lift": 0.7, "": 4.8}, typical_slope=60.0,
    ),
    MetricSpec(
        key="stride_length", name="Stride", unit="% height", decimals=1,
        phase="stride", kind="between_events", events=("leg_lift", "foot_plant"),
        landmarks=("drive_ankle", "lead_ankle"), start_landmarks=("drive_ankle",), views=SIDE_VIEWS,
        measure=measures.stride_length, needs_scale=True, needs_height=True,
        definition="drive ankle at leg lift to lead ankle at foot plant, along the line to the "
        "plate, as a share of standing height",
        meaning="how far the stride carries the body",
        limit="compare only strides measured ankle to ankle; shares of leg length differ",
        source=KAGEYAMA, more="longer", less="shorter", projection_u={"": 0.1},
        believable=(40.0, 120.0),
    ),
    MetricSpec(
        key="stride_length_m", name="Stride, length", unit="m", decimals=2,
        phase="stride", kind="between_events", events=("leg_lift", "foot_plant"),
        landmarks=("drive_ankle", "lead_ankle"), start_landmarks=("drive_ankle",), views=SIDE_VIEWS,
        measure=measures.stride_length_m, needs_scale=True,
        definition="drive ankle at leg lift to lead ankle at foot plant, along the line to the "
        "plate",
        meaning="the stride as a length, for chalk marks on the mound",
        limit="grows with body height; compare the share of height",
        source=KAGEYAMA, more="longer", less="shorter", projection_u={"": 0.002},
        twin="stride_length",
    ),
    MetricSpec(
        key="trunk_forward_tilt", name="Trunk forward tilt", unit="deg", decimals=0,
        phase="foot contact", kind="at_event",
        events=("leg_lift", "foot_contact", "foot_plant", "full_layback", "release"),
        landmarks=TRUNK, views=SIDE_VIEWS, measure=measures.trunk_forward_tilt,
        definition="mid-hip to mid-shoulder against the vertical, toward the plate positive",
        meaning="whether the trunk stays back until the foot is down and then goes over the leg",
        limit="less sure when the trunk also leans sideways and the camera is near or off square",
        source=KAGEYAMA, more="more forward", less="less forward",
        projection_u={"": 0.2, "release": 0.05}, typical_slope=30.0,
    ),
    MetricSpec(
        key="lead_knee_flexion", name="Lead knee flexion", unit="deg", decimals=0,
        phase="foot contact", kind="at_event",
        events=("foot_contact", "foot_plant", "full_layback", "release"),
        landmarks=("lead_hip", "lead_knee", "lead_ankle"), views=SIDE_VIEWS,
        measure=measures.lead_knee_flexion, segments=LEAD_LEG,
        definition="lead knee, hip-knee-ankle, 0 = straight, in the plane of the picture",
        meaning="whether the front leg takes the body's weight and then braces",
        limit="an angle in the plane of the picture; where the joints are placed moves it by 3-4°",
        source=KAGEYAMA, more="more bent", less="straighter",
        projection_u={"": 0.5}, typical_slope=100.0,
    ),
    MetricSpec(
        key="lead_knee_extension", name="Lead knee straightening", unit="deg", decimals=0,
        phase="release", kind="between_events", events=("foot_contact", "release"),
        landmarks=("lead_hip", "lead_knee", "lead_ankle"), views=SIDE_VIEWS,
        measure=measures.lead_knee_extension, segments=LEAD_LEG,
        definition="lead-knee flexion at foot contact less that at release",
        meaning="positive: the front leg braces and lifts; negative: it gives",
        limit="the difference of two angles in the plane of the picture",
        source="Matsuo et al. 2001, J Appl Biomech 17:1-13 (direction)",
        more="straightens more", less="straightens less", projection_u={"": 0.5}, typical_slope=140.0,
    ),
    MetricSpec(
        key="trunk_lateral_tilt", name="Trunk side tilt", unit="deg", decimals=0,
        phase="release", kind="at_event", events=("foot_contact", "full_layback", "release"),
        landmarks=TRUNK, views=END_VIEWS, measure=measures.trunk_lateral_tilt,
        definition="mid-hip to mid-shoulder against the vertical seen from behind or ahead, to the "
        "glove side positive",
        meaning="how far the trunk leans away from the throwing arm",
        limit="cannot be seen from the side",
        source="common practice", more="more to glove side",
        less="less to glove side", projection_u={"": 0.4}, typical_slope=50.0,
    ),
    MetricSpec(
        key="arm_slot", name="Arm slot", unit="deg", decimals=0,
        phase="release", kind="at_event", events=("release",),
        landmarks=("throwing_shoulder", "throwing_hand"), views=END_VIEWS,
        measure=measures.arm_slot,
        definition="throwing shoulder to hand against the vertical seen from behind or ahead; 0 "
        "straight up, 90 level",
        meaning="over the top, three-quarter or sidearm",
        limit="cannot be seen from the side; says nothing of good or bad",
        source="common practice", more="lower", less="higher",
        projection_u={"": 0.5}, typical_slope=300.0,
    ),
    MetricSpec(
        key="release_height", name="Release height", unit="m", decimals=2, at="release",
        phase="release", kind="between_events", events=("leg_lift", "release"),
        landmarks=("drive_heel", "drive_toe", "throwing_hand"),
        start_landmarks=("drive_heel", "drive_toe"), views=SIDE_VIEWS,
        measure=measures.release_height, needs_scale=True,
        definition="third knuckle of the throwing hand at release above the middle of the drive foot "
        "(between heel and toe) at leg lift",
        meaning="from how high the ball comes",
        limit="of the hand, not of the ball; above the rubber, not above the plate",
        source="common practice", more="higher", less="lower",
        projection_u={"": 0.002}, typical_slope=10.0,
    ),
    MetricSpec(
        key="release_extension", name="Release ahead of the rubber", unit="m", decimals=2,
        at="release",
        phase="release", kind="between_events", events=("leg_lift", "release"),
        landmarks=("drive_ankle", "throwing_hand"), start_landmarks=("drive_ankle",),
        is_from_rubber=True, views=SIDE_VIEWS,
        measure=measures.release_extension, needs_scale=True,
        definition="throwing hand at release ahead of the rubber's front edge where that is "
        "marked, else ahead of the drive ankle at leg lift",
        meaning="how far in front the ball is let go",
        limit="at 60 frames a second the hand moves 0.3 m from frame to frame: mark release "
        "closely",
        source="common practice", more="farther out front", less="farther back",
        projection_u={"": 0.005}, typical_slope=20.0,
    ),
    MetricSpec(
        key="release_ahead_of_lead_foot", name="Release ahead of the front foot", unit="m",
        decimals=2, phase="release", kind="at_event", events=("release",),
        landmarks=("lead_ankle", "throwing_hand"), views=SIDE_VIEWS,
        measure=measures.release_ahead_of_lead_foot, needs_scale=True,
        definition="throwing hand ahead of the lead ankle at release",
        meaning="whether the body gets out over the front leg",
        limit="at 60 frames a second the hand moves 0.3 m from frame to frame: mark release "
        "closely",
        source="common practice", more="farther ahead", less="farther behind",
        projection_u={"": 0.005}, typical_slope=20.0,
    ),
)  # fmt: skip
