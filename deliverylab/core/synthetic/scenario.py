"""The invented evening that the examples, the demo and the tests share: who threw, how filmed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from deliverylab.core.cameras.pinhole import PinholeCamera
from deliverylab.core.errors import NotFoundError
from deliverylab.core.synthetic.body import Uniform
from deliverylab.core.synthetic.camera import camera_for_view
from deliverylab.core.synthetic.figure import SyntheticDelivery, build_delivery
from deliverylab.core.synthetic.render import Film, Filming
from deliverylab.core.synthetic.scene import LaidCone, ScaleStick, lying_stick
from deliverylab.core.synthetic.spec import DeliverySpec


@dataclass(frozen=True, kw_only=True)
class ExampleClip:
    """Describe one clip of the scenario.

    Attributes
    ----------
    name : str
        Stem of its files.
    athlete, note : str
        Who threw (invented), and what the clip is for.
    mass_kg : float, kg
    spec : DeliverySpec
    view : str
    distance_m, height_m, yaw_deg, focal_px, target_m, size_px
        Of the camera, see `camera_for_view`; the plane of motion runs through the target.
    rate_hz : Fraction, Hz
    filming : Filming
    stick : ScaleStick
    cones : tuple of LaidCone
        As they stand, which is some millimetres from where the tape should have put them.
    """

    name: str
    athlete: str
    note: str
    mass_kg: float
    spec: DeliverySpec
    view: str
    distance_m: float
    height_m: float
    focal_px: float
    filming: Filming
    stick: ScaleStick
    cones: tuple[LaidCone, ...]
    yaw_deg: float = 0.0
    target_m: tuple[float, float] = (0.85, 0.0)
    size_px: tuple[int, int] = (1280, 720)
    rate_hz: Fraction = Fraction(240)

    def camera(self) -> PinholeCamera:
        """Stand the camera."""
        return camera_for_view(
            self.view,
            self.spec.hand,
            distance_m=self.distance_m,
            height_m=self.height_m,
            yaw_deg=self.yaw_deg,
            target_m=self.target_m,
            focal_px=self.focal_px,
            size_px=self.size_px,
        )

    def delivery(self) -> SyntheticDelivery:
        """Build the delivery at the clip's frames."""
        return build_delivery(self.spec, float(self.rate_hz))

    def film(self) -> Film:
        """Make ready to take the pictures."""
        return Film(
            self.delivery(),
            self.camera(),
            self.filming,
            stick=self.stick,
            cones=self.cones,
            target_m=self.target_m,
        )


# What sets the athlete's delivery apart is planted: a shorter stride, less speed to the plate, a
# trunk more upright at release, a front knee that gives way; the trunk opens a little early too.
_ATHLETE = DeliverySpec(
    hand="right",
    height_m=1.83,
    ball_speed_m_s=32.6,
    lift_to_contact_s=0.87,
    contact_to_release_s=0.152,
    lead_in_s=0.253,
    stride_percent_height=76.5,
    stride_closed_m=0.06,
    lead_foot_closed_deg=8.0,
    pelvis_deg=(-28.0, -12.0, 21.0, 89.0, 100.0),
    shoulder_line_deg=(-22.0, -28.0, -22.0, 80.0, 119.0),
    trunk_forward_deg=(-2.0, -9.0, 0.5, 8.0, 16.5),
    trunk_lateral_deg=(0.0, -3.0, 20.0, 31.0),
    lead_knee_flexion_deg=(108.0, 36.0, 44.0, 50.0, 53.0),
    drive_knee_flexion_deg=(15.0, 42.0, 26.0),
    forward_speed_m_s=(0.16, 1.45),
    peak_pelvis_speed_deg_s=640.0,
    peak_shoulder_line_speed_deg_s=1130.0,
)

_MODEL = DeliverySpec(hand="left", lead_in_s=0.248)

_MODEL_SUN = (-0.45, 0.8, 0.9)
_GUEST = Uniform(jersey=(46, 72, 122), cap=(34, 52, 92), skin=(172, 122, 92))

_STICK = lying_stick((2.25, 0.0), (1.0, 0.0))
_STICK_BEHIND = lying_stick((-0.70, -0.5), (0.0, 1.0))

# Two cones 2 m ahead of the rubber and 0.8 m to either side, as well as a tape puts them there.
_CONES = (
    LaidCone(key="cone_left", x_m=2.007, y_m=0.794),
    LaidCone(key="cone_right", x_m=1.992, y_m=-0.805),
)
_MODEL_CONES = (
    LaidCone(key="cone_left", x_m=1.995, y_m=0.808),
    LaidCone(key="cone_right", x_m=2.004, y_m=-0.796),
)


def _athlete_clips() -> tuple[ExampleClip, ...]:
    """Film the athlete from the open side and from behind."""
    evening = "Alder Creek bullpen, an evening in late summer (invented)"
    return (
        ExampleClip(
            name="athlete-side",
            athlete="Wim Aldery",
            note=f"{evening}: right-hander, open side",
            mass_kg=84.0,
            spec=_ATHLETE,
            view="open-side",
            distance_m=9.2,
            height_m=1.08,
            focal_px=2150.0,
            filming=Filming(seed=11),
            stick=_STICK,
            cones=_CONES,
        ),
        ExampleClip(
            name="athlete-rear",
            athlete="Wim Aldery",
            note=f"{evening}: the same throw from behind, second phone",
            mass_kg=84.0,
            spec=replace(_ATHLETE, lead_in_s=0.1477),
            view="rear",
            distance_m=9.0,
            height_m=1.05,
            focal_px=2200.0,
            filming=Filming(seed=13, screen_m=19.0),
            stick=_STICK_BEHIND,
            cones=_CONES,
        ),
    )


def _model_clips() -> tuple[ExampleClip, ...]:
    """Film the model delivery from the open side and from behind."""
    return (
        ExampleClip(
            name="model-side",
            athlete="Model delivery",
            note="left-hander drawn from published collegiate means, open side",
            mass_kg=78.0,
            spec=_MODEL,
            view="open-side",
            distance_m=11.0,
            height_m=1.20,
            focal_px=2300.0,
            filming=Filming(seed=12, sun=_MODEL_SUN, uniform=_GUEST, screen_m=6.0),
            stick=_STICK,
            cones=_MODEL_CONES,
        ),
        ExampleClip(
            name="model-rear",
            athlete="Model delivery",
            note="the same throw from behind, second phone",
            mass_kg=78.0,
            spec=replace(_MODEL, lead_in_s=0.3127),
            view="rear",
            distance_m=10.0,
            height_m=1.15,
            focal_px=2200.0,
            filming=Filming(seed=14, sun=_MODEL_SUN, uniform=_GUEST, screen_m=18.0),
            stick=_STICK_BEHIND,
            cones=_MODEL_CONES,
        ),
    )


def demo_scenario() -> dict[str, ExampleClip]:
    """Give the clips of the scenario by name.

    Returns
    -------
    dict of str to ExampleClip
        ``athlete-side`` (right-hander, open side, four planted differences), ``model-side``
        (left-hander of published collegiate means, open side, from another distance), and
        ``athlete-rear`` and ``model-rear`` (the same throws by a second phone that was started at
        another moment).
    """
    clips = (*_athlete_clips(), *_model_clips())
    return {clip.name: clip for clip in clips}


def example_clip(name: str) -> ExampleClip:
    """Give one clip of the scenario.

    Parameters
    ----------
    name : str

    Returns
    -------
    ExampleClip

    Raises
    ------
    NotFoundError
        No clip of that name; the message lists the names.
    """
    clips = demo_scenario()
    if name not in clips:
        raise NotFoundError("unknown example", where=name, remedy=f"use one of {', '.join(clips)}")
    return clips[name]
