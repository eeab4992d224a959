"""Suggestions put into a session as if they had been worked out from tracks."""

from __future__ import annotations

from deliverylab.core.events.suggest import Suggestion
from deliverylab.core.vocabulary.events import EVENT_KEYS
from deliverylab.shell.session import Session, Side
from deliverylab.shell.session_suggesting import Suggested

NOT_SEEN = "the arm is not placed"


def suggest_on(session: Session, side: Side = "athlete", *, u_s: float = 0.004, **times_s) -> None:
    """Suggest events at these times, s, each with the same u; the others are not found."""
    found = tuple(
        Suggestion(event=event, time_s=times_s[event], u_s=u_s, why="as a test says")
        if event in times_s
        else Suggestion(event=event, time_s=None, u_s=None, why=NOT_SEEN)
        for event in EVENT_KEYS
    )
    delivery, camera = session.delivery(side), session.camera(side)
    assert delivery is not None
    assert camera is not None
    session.take_suggestions(side, Suggested(delivery.name, camera.name, camera.timing, found))
