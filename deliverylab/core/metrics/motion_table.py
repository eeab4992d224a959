"""Metrics of timing, of the body's forward speed, and of the ball."""

from __future__ import annotations

from deliverylab.core.metrics.body_mass import COM_LANDMARKS
from deliverylab.core.metrics.spec import MetricSpec
from deliverylab.core.vocabulary.views import SIDE_VIEWS, VIEW_KEYS

MOTION_METRICS: tuple[MetricSpec, ...] = (
    MetricSpec(
        key="com_forward_speed", name="Forward speed of the body", unit="m/s", decimals=2,
        phase="leg lift", kind="speed", events=("leg_lift", "foot_contact", "release"),
        landmarks=COM_LANDMARKS, views=SIDE_VIEWS, measure=None, needs_scale=True,
        min_rate_hz=24.0,
        definition="speed of the whole-body centre of mass toward the plate",
        meaning="momentum: whether the body is already moving to the plate, and keeps moving",
        limit="speed of the body, not of the ball or the hand",
        source="de Leva 1996 (centre of mass); common practice (use)",
        more="faster", less="slower", typical_slope=1.0,
        projection_u={"": 0.052, "leg_lift": 0.01, "release": 0.156},
    ),
    MetricSpec(
        key="max_com_forward_speed", name="Top forward speed of the body", unit="m/s", decimals=2,
        phase="stride", kind="peak_speed", events=("leg_lift", "release"),
        landmarks=COM_LANDMARKS, views=SIDE_VIEWS, measure=None, needs_scale=True,
        min_rate_hz=24.0,
        definition="largest forward speed of the centre of mass between leg lift and release",
        meaning="how much momentum the stride builds",
        limit="speed of the body, not of the ball or the hand",
        source="de Leva 1996 (centre of mass); common practice (use)",
        more="faster", less="slower", projection_u={"": 0.27},
    ),
    MetricSpec(
        key="max_com_forward_speed_time", name="Top speed before contact", unit="s", decimals=2,
        phase="stride", kind="peak_time", events=("leg_lift", "foot_contact"),
        landmarks=COM_LANDMARKS, views=SIDE_VIEWS, measure=None, needs_scale=True,
        min_rate_hz=24.0,
        definition="time from the body's top forward speed of the stride (leg lift to foot contact) "
        "to foot contact; 0 where it still gains speed at contact",
        meaning="whether the body is still gaining speed when the foot lands, or already slowing",
        limit="a flat top has no instant: then it is not shown",
        source="common practice", more="earlier", less="later", believable=(0.0, 0.5), useful_u=0.1,
        projection_u={"": 0.004},
    ),
    MetricSpec(
        key="com_forward_speed_kept", name="Forward speed kept since contact", unit="%", decimals=0,
        phase="release", kind="kept_speed", events=("foot_contact", "release"), at="release",
        landmarks=COM_LANDMARKS, views=SIDE_VIEWS, measure=None, needs_scale=True,
        min_rate_hz=24.0,
        definition="forward speed of the centre of mass at release as a share of that at foot contact",
        meaning="how much the front leg stops the body while the arm throws",
        limit="a firm front leg keeps little, so less is not worse; nor is it a share of energy",
        source="common practice", more="keeps more", less="keeps less",
        projection_u={"": 8.0}, typical_slope=1.0, believable=(0.0, 140.0),
    ),
    MetricSpec(
        key="com_forward_speed_kept_from_top", name="Stride speed kept until release",
        unit="%", decimals=0,
        phase="release", kind="kept_speed", events=("leg_lift", "foot_contact", "release"), at="release",
        landmarks=COM_LANDMARKS, views=SIDE_VIEWS, measure=None, needs_scale=True,
        min_rate_hz=24.0,
        definition="forward speed of the centre of mass at release as a share of its top in the "
        "stride, from leg lift to foot contact",
        meaning="how much of the stride's momentum is left in the body when the ball goes",
        limit="a firm front leg keeps little, so less is not worse; nor is it a share of energy",
        source="common practice", more="keeps more", less="keeps less",
        projection_u={"": 7.7}, typical_slope=1.0, believable=(0.0, 140.0),
    ),
    MetricSpec(
        key="support_force_direction", name="Lean of the push", unit="deg", decimals=1,
        phase="stride", kind="support_force", events=("leg_lift", "foot_contact"),
        landmarks=COM_LANDMARKS, views=SIDE_VIEWS, measure=None, needs_scale=True,
        min_rate_hz=24.0,
        definition="lean toward the plate of the mean force under the foot from leg lift to foot "
        "contact: change of the centre of mass's velocity over that time, plus gravity",
        meaning="how much of the push on the ground goes toward the plate rather than up",
        limit="an estimate, and a mean: how the push rises and falls needs a force plate",
        source="Newton's second law; de Leva 1996 (centre of mass); common practice (use)",
        more="more toward the plate", less="more upright",
        projection_u={"": 0.3}, typical_slope=1.0, believable=(0.0, 40.0), useful_u=6.0,
    ),
    MetricSpec(
        key="lift_to_contact_time", name="Time from lift to contact", unit="s", decimals=2,
        phase="timing", kind="interval", events=("leg_lift", "foot_contact"),
        landmarks=(), views=VIEW_KEYS, measure=None,
        definition="time from the highest lead knee to the first touch of the front foot",
        meaning="tempo of the stride",
        limit="depends on what is called contact: here the first touch",
        source="Kageyama et al. 2015, J Sports Sci Med 14:246-255 (phase 1)",
        more="longer", less="shorter",
    ),
    MetricSpec(
        key="contact_to_release_time", name="Time from contact to release", unit="s", decimals=3,
        phase="timing", kind="interval", events=("foot_contact", "release"),
        landmarks=(), views=VIEW_KEYS, measure=None,
        definition="time from the first touch of the front foot to the ball leaving the hand",
        meaning="how quickly the throw follows the landing",
        limit="definitions of contact differ by 10-50 ms between laboratories",
        source="Kageyama et al. 2015, J Sports Sci Med 14:246-255 (phase 2)",
        more="longer", less="shorter",
    ),
    MetricSpec(
        key="ball_speed", name="Ball speed, radar", unit="m/s", decimals=1,
        phase="ball", kind="given", events=(),
        landmarks=(), views=VIEW_KEYS, measure=None,
        definition="speed read from a radar gun and entered with the delivery",
        meaning="the result of the throw",
        limit="as entered; ± 0.45 m/s (1 mph) is taken for the gun",
        source="common practice", more="faster", less="slower",
    ),
)  # fmt: skip
