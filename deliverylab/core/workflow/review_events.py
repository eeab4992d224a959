"""What an event's results need, and a machine lost, bridged or is not sure of."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from deliverylab.core.metrics.inputs import default_u_px
from deliverylab.core.metrics.spec import PLACING, Result
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.track import ORIGINS, Origin
from deliverylab.core.vocabulary.events import event as event_entry
from deliverylab.core.vocabulary.landmarks import key_for_role
from deliverylab.core.workflow.placing_needs import n_results_at
from deliverylab.core.workflow.review_entry import Look, entry

UNSURE_TIMES = 1.5
"""A position this much less sure than one placed by hand is worth a hand's."""
LEAST_COST = 0.1
"""Share of a result's u² from which an unsure position costs something."""
_BY_MACHINE = tuple(ORIGINS.index(origin) for origin in ("tracked", "detected", "filled"))


@dataclass(frozen=True, kw_only=True)
class _Needed:
    """What results need at an event, of a landmark that a machine went after."""

    event: str
    frame: int
    landmark: str
    n_results: int
    origin: Origin | None

    @property
    def weight(self) -> float:
        """The more results need it, the more urgent."""
        return 1.0 + self.n_results / 10.0


def _needed(delivery: Delivery, camera: Camera) -> Iterator[_Needed]:
    """Yield what the results of one clip need at its events, where a machine was at work."""
    is_in_space = delivery.space is not None and not delivery.space.is_refused
    for event, mark in camera.marks.items():
        frame = camera.timing.frame_at(mark.time_s)
        needs = n_results_at(event, delivery.athlete.hand, camera.view, is_in_space=is_in_space)
        for key, n_results in needs.items():
            track = camera.track(key)
            if not np.isin(track.origins, _BY_MACHINE).any() or camera.is_occluded(key, frame):
                continue
            at = track.at(frame)
            yield _Needed(
                event=event_entry(event).name, frame=frame, landmark=key, n_results=n_results,
                origin=None if at is None else at.origin,
            )  # fmt: skip


def lost(delivery: Delivery, camera: Camera) -> Iterator[Look]:
    """Yield what a tracker or detector left out in a frame that an event needs."""
    for needed in _needed(delivery, camera):
        if needed.origin is None:
            yield entry(
                delivery, camera, needed.frame, needed.landmark, "lost",
                f"no position at {needed.event}: it was lost here, and "
                f"{needed.n_results} results need it", needed.weight,
            )  # fmt: skip


def bridged(delivery: Delivery, camera: Camera) -> Iterator[Look]:
    """Yield what results need at an event, and what was filled in there without being seen."""
    for needed in _needed(delivery, camera):
        if needed.origin == "filled":
            yield entry(
                delivery, camera, needed.frame, needed.landmark, "bridged",
                f"bridged, not seen, at {needed.event}, and "
                f"{needed.n_results} results rest on it: place it here", needed.weight,
            )  # fmt: skip


def unsure(delivery: Delivery, camera: Camera, results: Sequence[Result]) -> Iterator[Look]:
    """Yield positions at events that are much less sure than a hand's, and cost results their ±."""
    u_px = default_u_px(delivery, camera)
    for (key, event), (cost, name) in _costs(delivery, camera, results).items():
        if event not in camera.marks:
            continue
        frame = camera.timing.frame_at(camera.marks[event].time_s)
        position = camera.track(key).at(frame)
        if position is None or position.u_px is None or key not in u_px:
            continue
        times = position.u_px / u_px[key]
        if times > UNSURE_TIMES:
            yield entry(
                delivery, camera, frame, key, "unsure",
                f"± {2.0 * position.u_px:.0f} px at {event_entry(event).name}, {times:.1f} times a "
                f"hand's: {100.0 * cost:.0f} % of what is unsure about {name}", cost,
            )  # fmt: skip


def _costs(
    delivery: Delivery, camera: Camera, results: Sequence[Result]
) -> dict[tuple[str, str], tuple[float, str]]:
    """Return the largest share of any result's u² by landmark and event, and which result."""
    costs: dict[tuple[str, str], tuple[float, str]] = {}
    for result in results:
        if not result.is_shown or (result.camera != camera.name and result.view != "space"):
            continue
        for part, share in zip(result.budget, result.variance_shares, strict=True):
            if part.source != PLACING or not part.landmark or share < LEAST_COST:
                continue
            at = key_for_role(part.landmark, delivery.athlete.hand), part.event or result.event
            if share > costs.get(at, (0.0, ""))[0]:
                costs[at] = share, result.name
    return costs
