"""Two small deliveries for walkthroughs: marks, a body of few points, and clips on demand."""

from __future__ import annotations

import numpy as np

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery, Mark
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Position, Track
from deliverylab.core.store.clips import clip_reference
from deliverylab.core.video.writer import write_clip

RATE_HZ = 60
SIZE_PX = (320, 180)
MARKS_A = {"leg_lift": 0.5, "hand_break": 0.8, "foot_contact": 1.3, "release": 1.45}
MARKS_B = {"leg_lift": 0.4, "hand_break": 0.9, "foot_contact": 1.4, "release": 1.52}
# a body that stands upright: where its points lie about its middle on the ground, px
BODY_PX = {
    "head_top": (0.0, -120.0),
    "neck": (0.0, -100.0),
    "left_shoulder": (14.0, -95.0),
    "right_shoulder": (-14.0, -95.0),
    "right_elbow": (-30.0, -75.0),
    "right_wrist": (-36.0, -50.0),
    "left_elbow": (30.0, -75.0),
    "left_hip": (9.0, -55.0),
    "right_hip": (-9.0, -55.0),
    "left_knee": (12.0, -28.0),
    "right_knee": (-12.0, -28.0),
    "left_ankle": (12.0, -3.0),
    "right_ankle": (-12.0, -3.0),
}


def middle_px(frame: int) -> float:
    """Return where the body stands in a frame: it goes to the right."""
    return 100.0 + 0.6 * frame


def camera(marks, *, n_frames=120, size=1.0, **fields) -> Camera:
    """Return a camera with these marks, and a body `size` times as large as `BODY_PX`."""
    tracks = {
        key: Track.of(
            (frame, Position(middle_px(frame) + size * x, 160.0 + size * y))
            for frame in range(n_frames)
        )
        for key, (x, y) in BODY_PX.items()
    }
    made = {
        "name": "side",
        "view": "open-side",
        "width_px": SIZE_PX[0],
        "height_px": SIZE_PX[1],
        "timing": Timing(n_frames=n_frames, stored_rate=str(RATE_HZ)),
        "marks": {event: Mark(time_s=time_s) for event, time_s in marks.items()},
        "tracks": tracks,
    }
    return Camera(**(made | fields))


def delivery(name, marks, *, hand="right", athlete="Ana", **fields) -> Delivery:
    """Return a delivery of one such camera."""
    who = Athlete(name=athlete, hand=hand)
    return Delivery(name=name, athlete=who, cameras=(camera(marks, **fields),))


def pair(**fields) -> tuple[Delivery, Delivery]:
    """Return the athlete's and the model delivery."""
    return (
        delivery("Ana 1", MARKS_A, **fields),
        delivery("Model", MARKS_B, athlete="Bo", **fields),
    )


def pictures(n_frames=120, shade=40):
    """Return pictures in which a bright bar stands where the body does."""
    for frame in range(n_frames):
        picture = np.full((SIZE_PX[1], SIZE_PX[0], 3), shade, np.uint8)
        x = round(middle_px(frame))
        picture[20:160, x - 6 : x + 7] = (60, 190, 90)
        yield picture


def with_clip(made: Delivery, folder) -> Delivery:
    """Write a delivery's clip beside its project and refer to it."""
    import msgspec

    path = write_clip(folder / f"{made.name}.mp4", pictures(), RATE_HZ, crf=8)
    reference = clip_reference(path, folder / "a.delivery")
    filmed = msgspec.structs.replace(made.cameras[0], clip=reference)
    return msgspec.structs.replace(made, cameras=(filmed,))
