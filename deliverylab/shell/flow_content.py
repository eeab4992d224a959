"""What is said about how far placing has come, as plain text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from deliverylab.shell.session import Session, Side

if TYPE_CHECKING:
    from deliverylab.core.workflow.placing_plan import PlacingPlan

RESULTS_DONE = "All that results need at the marked events is placed. T tracks what lies between."
PASSED_OVER = "Only what was passed over is left here."
TRACKING_DONE = "All that results and tracking need is placed."
ALL_DONE = "Everything is placed in the frames that matter."


def line_texts(session: Session, side: Side) -> tuple[str, ...]:
    """Return how many are placed here, what the next few give, and how far it is in all.

    The longest form comes first; the shorter ones are for where there is little room.
    """
    plan = session.plan(side)
    if plan is None or session.hides_places(side):
        return ("",)
    from deliverylab.core.workflow.placing_left import nearest_text

    needs = session.needs(side)
    here, gives = _here_text(session, side, plan), nearest_text(needs)
    n_there, n_all = plan.n_of("results")
    if n_all and n_there < n_all:
        whole = f"{n_there} of {n_all} in all"
    elif n_all:
        whole = "results have all their points"
    else:
        n_there, n_all = plan.n_of("tracking")
        whole = f"{n_there} of {n_all} for tracking"
    what = gives or whole
    forms = ((here, gives, whole), (here, what), (here, nearest_text(needs[:1]) or whole), (what,))
    return tuple(" · ".join(part for part in form if part) for form in forms)


def _here_text(session: Session, side: Side, plan: PlacingPlan) -> str:
    """Return how many of what is wanted in the shown frame are placed, and what for."""
    from deliverylab.core.workflow.placing_plan import is_settled

    camera, frame = session.camera(side), session.state(side).frame
    if camera is None:
        return ""
    here = [stop for stop in plan.stops if stop.frame == frame]
    open_stops = [stop for stop in here if stop.missing] or here[-1:]
    if open_stops and open_stops[0].purpose != "rest":
        stop = open_stops[0]
        n_there = len(stop.landmarks) - len(stop.missing)
        what = " for results" if stop.purpose == "results" else " for tracking"
        return f"{n_there} of {len(stop.landmarks)} here{what}"
    n_there = sum(is_settled(camera, key, frame) for key in plan.landmarks)
    return f"{n_there} of {len(plan.landmarks)} here"


def paused_text(session: Session, side: Side) -> tuple[str, str]:
    """Return what is said when nothing as urgent is left, and what a button then offers."""
    plan = session.plan(side)
    if plan is None or not plan.asks:
        return ALL_DONE, ""
    is_open = {purpose: there < n for purpose, (there, n) in _counts(plan).items()}
    has_events = plan.n_of("results")[1] > 0
    if is_open["results"] or (is_open["tracking"] and not has_events):
        return PASSED_OVER, "Go on"
    return (RESULTS_DONE if is_open["tracking"] else TRACKING_DONE), "Go on"


def _counts(plan: PlacingPlan) -> dict[str, tuple[int, int]]:
    from deliverylab.core.workflow.placing_plan import PURPOSES

    return {purpose: plan.n_of(purpose) for purpose in PURPOSES}
