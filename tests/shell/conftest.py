"""Invented deliveries, and a session that works on them."""

from __future__ import annotations

import numpy as np
import pytest

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.changes import SetDelivery
from deliverylab.core.model.delivery import Camera, Delivery, Mark
from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Position, Track
from deliverylab.core.video.writer import write_clip
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS
from deliverylab.shell.session import Session

# where an invented figure's landmarks lie in a 1280 x 720 picture, px; only the order of magnitude
# matters here
_FIGURE = {
    "head_top": (600, 180),
    "neck": (590, 250),
    "shoulder": (585, 270),
    "elbow": (540, 320),
    "wrist": (500, 280),
    "hand": (490, 260),
    "hip": (600, 420),
    "knee": (660, 500),
    "ankle": (650, 600),
    "heel": (640, 615),
    "toe": (690, 615),
}


def figure_tracks(frames: list[int]) -> dict[str, Track]:
    """Return tracks in which every body landmark is placed in these frames."""
    tracks = {}
    for key in LANDMARK_KEYS:
        part = key.removeprefix("left_").removeprefix("right_")
        if part not in _FIGURE:
            continue
        x_px, y_px = _FIGURE[part]
        shift = 25 if key.startswith("left_") else 0
        tracks[key] = Track.of(
            (frame, Position(x_px + shift + 0.5 * frame, float(y_px))) for frame in frames
        )
    return tracks


def camera_of(*, marks=None, n_frames=240, tracks=None, scale=None, **fields) -> Camera:
    """Return a camera without a clip: 1280 x 720, 240 frames a second."""
    return Camera(
        name=fields.pop("name", "side"),
        view=fields.pop("view", "open-side"),
        width_px=1280,
        height_px=720,
        timing=Timing(n_frames=n_frames, stored_rate="240"),
        marks={key: Mark(time_s=time_s) for key, time_s in (marks or {}).items()},
        tracks=tracks or {},
        scale=scale,
        **fields,
    )


def delivery_of(name="Bo 1", *, hand="right", cameras=None, **camera_fields) -> Delivery:
    """Return an invented delivery with one camera."""
    return Delivery(
        name=name,
        athlete=Athlete(name=name.partition(" ")[0], hand=hand, height_m=1.86, mass_kg=82.0),
        cameras=cameras or (camera_of(**camera_fields),),
    )


MARKS_A = {"leg_lift": 0.1, "foot_contact": 0.6, "release": 0.75}
MARKS_B = {"leg_lift": 0.2, "foot_contact": 0.6, "release": 0.76}
SCALE = PlanarScale(a=Point(300, 620), b=Point(600, 620), length_m=1.5, distance_m=10.0)


@pytest.fixture
def session(qapp):
    """A session with an empty project."""
    return Session()


def to_first_frame(session):
    """Show the first frame on both stages, where a project opens at its first event."""
    is_linked = session.is_linked
    session.set_linked(False)
    for side in ("athlete", "model"):
        session.show_frame(side, 0)
    session.set_linked(is_linked)


@pytest.fixture
def pair(session):
    """A session with two deliveries on its stages, marks set, nothing placed, at frame 0."""
    for delivery in (
        delivery_of("Bo 1", marks=MARKS_A, scale=SCALE),
        delivery_of("Kim model", hand="left", marks=MARKS_B, scale=SCALE),
    ):
        session.project.apply(SetDelivery(name=delivery.name, delivery=delivery))
    session.set_pair("Bo 1", "Kim model")
    to_first_frame(session)
    session.undo_stack.clear()
    return session


@pytest.fixture
def placed_pair(session):
    """Two deliveries with landmarks placed at three events, saved."""
    for delivery in (
        delivery_of("Bo 1", marks=MARKS_A, scale=SCALE, tracks=figure_tracks([24, 144, 180])),
        delivery_of(
            "Kim model",
            hand="left",
            marks=MARKS_B,
            scale=SCALE,
            tracks=figure_tracks([48, 144, 182]),
        ),
    ):
        session.project.apply(SetDelivery(name=delivery.name, delivery=delivery))
    session.set_pair("Bo 1", "Kim model")
    session.undo_stack.clear()
    return session


@pytest.fixture(scope="session")
def clip(tmp_path_factory):
    """A small clip: 24 grey frames that grow brighter, 320 x 240, 60 a second."""
    pictures = (np.full((240, 320, 3), 30 + 8 * number, np.uint8) for number in range(24))
    return write_clip(tmp_path_factory.mktemp("clips") / "small.mp4", pictures, 60)
