"""A session of one athlete's deliveries on two days and a partner, for the tests of parties."""

from __future__ import annotations

import msgspec

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.changes import SetDelivery
from deliverylab.core.model.delivery import Delivery
from deliverylab.shell.session import Session
from tests.shell.conftest import MARKS_A, MARKS_B, SCALE, delivery_of, figure_tracks

BO = Athlete(name="Bo", height_m=1.86)


def of_bo(name: str, date: str) -> Delivery:
    """Return a delivery of Bo with landmarks at three events, and in a frame of its own."""
    own = 200 + int(name.split()[1])
    tracks = figure_tracks([24, 144, 180, own])
    made = delivery_of(name, marks=MARKS_A, scale=SCALE, tracks=tracks)
    return msgspec.structs.replace(made, athlete=BO, date=date)


def fill_several(session: Session) -> Session:
    """Put four deliveries of Bo and one of Kim into a session; Bo 1 and Kim are the pair."""
    kim = delivery_of(
        "Kim", hand="left", marks=MARKS_B, scale=SCALE, tracks=figure_tracks([48, 144, 182])
    )
    ones = [of_bo(f"Bo {n}", "2026-05-01" if n < 4 else "2026-04-01") for n in (1, 2, 3, 4)]
    for delivery in (*ones, kim):
        session.project.apply(SetDelivery(name=delivery.name, delivery=delivery))
    session.set_pair("Bo 1", "Kim")
    session.undo_stack.clear()
    return session
