"""Solved deliveries of two clips each, one by a left-hander, with points that are certainly wrong."""

from __future__ import annotations

from functools import cache

import msgspec
import pytest

from deliverylab.core.model.changes import SetDelivery
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.track import Position, Track
from deliverylab.shell.session import Session
from tests.core.metrics.solved import solved_delivery

WRONG = (("right_knee", 200, 45.0), ("left_wrist", 240, -60.0))
"""Landmark, frame and how far down it is moved in the rear clip, px."""


@cache
def _solved(seed: int) -> Delivery:
    return solved_delivery(seed).delivery


def named(seed: int, name: str) -> Delivery:
    """Return a solved delivery under a name."""
    delivery = _solved(seed)
    athlete = msgspec.structs.replace(delivery.athlete, name=name.partition(" ")[0])
    return msgspec.structs.replace(delivery, name=name, athlete=athlete)


def with_wrong_points(delivery: Delivery) -> Delivery:
    """Return it with `WRONG` in its second clip."""
    side, rear = delivery.cameras
    tracks = dict(rear.tracks)
    for key, frame, dy_px in WRONG:
        track = tracks[key]
        tracks[key] = Track.of(
            (int(each), Position(float(x), float(y) + (dy_px if each == frame else 0.0)))
            for each, (x, y) in zip(track.frames, track.xy_px, strict=True)
        )
    return msgspec.structs.replace(
        delivery, cameras=(side, msgspec.structs.replace(rear, tracks=tracks))
    )


def of_many_origins(delivery: Delivery) -> Delivery:
    """Return it with the left wrist of its second clip placed here and there, and a gap."""
    side, rear = delivery.cameras
    origins = {0: "placed", 1: "tracked", 2: "detected", 3: "filled"}
    track = Track.of(
        (frame, at._replace(u_px=None if frame % 40 == 0 else 4.0, origin=origins[frame // 5 % 4]))
        for frame, at in rear.track("left_wrist")
        if not 250 < frame < 262
    )
    tracks = dict(rear.tracks) | {"left_wrist": track}
    return msgspec.structs.replace(
        delivery, cameras=(side, msgspec.structs.replace(rear, tracks=tracks))
    )


def put(session: Session, *deliveries: Delivery) -> None:
    """Put deliveries on the stages."""
    for delivery in deliveries:
        session.project.apply(SetDelivery(name=delivery.name, delivery=delivery))
    if len(deliveries) > 1:
        session.set_pair(deliveries[0].name, deliveries[1].name)
    session.undo_stack.clear()


@pytest.fixture
def filmed_twice(session):
    """A session with a left-hander of two wrong points and a right-handed model, both solved."""
    put(session, with_wrong_points(named(3, "Ana 3")), named(2, "Bo model"))
    return session
