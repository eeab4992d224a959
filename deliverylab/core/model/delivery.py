"""One throw: its cameras, each with clip, timing, scale, event marks and landmark tracks."""

from __future__ import annotations

from typing import Literal

import msgspec

from deliverylab.core.errors import NotFoundError
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.camera_motion import CameraMotion
from deliverylab.core.model.field import CameraStand, ControlClick, FieldSetUp
from deliverylab.core.model.plan import Plan
from deliverylab.core.model.precision import PlacingPrecision, PlacingRun
from deliverylab.core.model.scale import PlanarScale
from deliverylab.core.model.space import SpaceSolution
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import EMPTY_TRACK, Position, Track
from deliverylab.core.numerics.uncertainty import rectangular_u
from deliverylab.core.vocabulary.balls import BallKey
from deliverylab.core.vocabulary.views import Direction, plate_direction

MarkOrigin = Literal["seen", "suggested"]
DepthChoice = Literal["nearer", "farther"]
"""Whether a limb's far end (the wrist of a forearm) is nearer to the camera than its near end."""


class Mark(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Where an event was placed, on the clip's own clock.

    Attributes
    ----------
    time_s : float
        Seconds from the first shown frame.
    u_s : float or None
        Standard uncertainty in the same seconds; None is T/√12 of the frame interval T there (an
        event equally likely anywhere within a frame).
    origin : {"seen", "suggested"}
        Whether a person saw it in the pictures, or accepted what a rule suggests: two suggestions for
        one event rest on the same rule, and are not surer than one.
    """

    time_s: float
    u_s: float | None = None
    origin: MarkOrigin = "seen"


class ClipReference(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A clip's path, relative to the project file where possible, and what identifies it."""

    path: str
    size_bytes: int
    head_sha256: str
    tail_sha256: str


class LookedAt(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A person looked at what stands out in a clip, and found it right.

    Attributes
    ----------
    landmark : str
        Key.
    frame : int
    reason : str
        Why it stood out; what stands out for another reason is not covered.
    position : Position or None
        As it was then; None where there was none.  Once it is another one, nothing is said of it.
    """

    landmark: str
    frame: int
    reason: str
    position: Position | None = None


class Camera(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One camera's record of a delivery.

    Attributes
    ----------
    name, view : str
        Name within the delivery; where it stood.
    width_px, height_px : int
        Size of the upright frame.
    timing : Timing
        Frame times and capture rate.
    clip : ClipReference or None
        The file; None when positions come from elsewhere.
    first_frame, last_frame : int, int or None
        Trim, both included: the part that is shown and gone through.  Nothing is lost by trimming,
        and positions placed outside stay in use, for a speed at the edge needs them.
    scale : PlanarScale or None
        Pixels to metres.
    marks : dict of str to Mark
        Events on this clip's own clock.
    tracks : dict of str to Track
        Positions by landmark key.
    occluded : dict of str to tuple of int
        Frames in which a landmark was looked for and cannot be seen.
    duplicate_frames : tuple of int
        Frames that repeat the one before, as found when the clip was opened.
    row_time_s, u_row_time_s : float
        Rolling shutter: real seconds from one row of the upright picture to the row below it, and
        its standard uncertainty; 0 where it is not known or does not matter, below zero where the
        lower rows are taken first.  A frame's time is that of its middle row.
    precision : PlacingPrecision or None
        Whose own figures give the default u of a placed point; None takes the judged ones.
    stand : CameraStand
        How it stands and what lens it has, as far as a person knows.
    control : dict of str to ControlClick
        Points of the field in its picture, by their keys.
    depth_choices : dict of str to dict of str to DepthChoice
        By event and limb, which way the limb points: the user's word for what is not seen.
    looked_at : tuple of LookedAt
        What stands out, and is right all the same.
    motion : CameraMotion or None
        How it turned or shook while it filmed; None where it stood still.
    """

    name: str
    view: str
    width_px: int
    height_px: int
    timing: Timing
    clip: ClipReference | None = None
    first_frame: int = 0
    last_frame: int | None = None
    scale: PlanarScale | None = None
    marks: dict[str, Mark] = {}
    tracks: dict[str, Track] = {}
    occluded: dict[str, tuple[int, ...]] = {}
    duplicate_frames: tuple[int, ...] = ()
    row_time_s: float = 0.0
    u_row_time_s: float = 0.0
    precision: PlacingPrecision | None = None
    stand: CameraStand = CameraStand()
    control: dict[str, ControlClick] = {}
    depth_choices: dict[str, dict[str, DepthChoice]] = {}
    looked_at: tuple[LookedAt, ...] = ()
    motion: CameraMotion | None = None

    @property
    def end_frame(self) -> int:
        """The last frame of the trimmed clip, included."""
        last = self.timing.n_frames - 1
        return last if self.last_frame is None else min(self.last_frame, last)

    def track(self, landmark: str) -> Track:
        """Return the track of a landmark key; empty when nothing is placed."""
        return self.tracks.get(landmark, EMPTY_TRACK)

    def is_occluded(self, landmark: str, frame: int) -> bool:
        """Return whether the landmark was marked as not visible in this frame."""
        return frame in self.occluded.get(landmark, ())

    def is_right(self, landmark: str, frame: int, reason: str) -> bool:
        """Return whether a person found right what stands out here, as it is now."""
        return any(
            (said.landmark, said.frame, said.reason) == (landmark, frame, reason)
            and said.position == self.track(landmark).at(frame)
            for said in self.looked_at
        )

    def u_mark_s(self, event: str) -> float:
        """Return a mark's standard uncertainty on the clip's own clock, seconds."""
        mark = self.marks[event]
        if mark.u_s is not None:
            return mark.u_s
        # A repeated frame hides one: the event may lie anywhere within two intervals.
        is_hidden = bool(self.duplicate_frames) and self.timing.repair is None
        n_intervals = 2.0 if is_hidden else 1.0
        return rectangular_u(n_intervals * self.timing.interval_near_s(mark.time_s))


class Delivery(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One throw by one athlete.

    Attributes
    ----------
    name : str
        Unique within the project.
    athlete : Athlete
        Who threw, as of that day.
    cameras : tuple of Camera
        One or more; the first is the main one.
    date : str
        Day of the throw, ISO 8601, or empty.
    ball_speed_m_s : float or None
        From a radar gun.
    notes : str
        Free text.
    placing_runs : tuple of PlacingRun
        Landmarks placed again, to learn how well they are placed.
    ball : str
        Kind of ball, a key of the table of balls.
    field : FieldSetUp or None
        Points of known place that its cameras show.
    cameras_from : str
        Delivery whose field and clicks hold, as the cameras were left in place; empty for its own.
    space : SpaceSolution or None
        What a solve of its cameras found.
    plan : Plan or None
        What to work on after it.
    """

    name: str
    athlete: Athlete
    cameras: tuple[Camera, ...]
    date: str = ""
    ball_speed_m_s: float | None = None
    notes: str = ""
    placing_runs: tuple[PlacingRun, ...] = ()
    ball: BallKey = "baseball"
    field: FieldSetUp | None = None
    cameras_from: str = ""
    space: SpaceSolution | None = None
    plan: Plan | None = None

    def camera(self, name: str | None = None) -> Camera:
        """Return the camera of this name; the first when None.

        Raises
        ------
        NotFoundError
            No such camera; the message lists the names.
        """
        for camera in self.cameras:
            if name is None or camera.name == name:
                return camera
        names = ", ".join(camera.name for camera in self.cameras) or "none yet"
        raise NotFoundError(
            "no such camera", where=f"{self.name}: {name}", remedy=f"the cameras are: {names}"
        )

    def plate_side(self, camera: Camera) -> Direction | None:
        """Return on which side of this camera's picture the plate lies; None off the side views."""
        chosen = camera.scale.toward_plate if camera.scale else None
        by_view = plate_direction(camera.view, self.athlete.hand)
        return by_view if by_view is None or chosen is None else chosen
