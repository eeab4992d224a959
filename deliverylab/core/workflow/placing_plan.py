"""What to place next in a clip: at which frame, which landmark, and for what."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Literal, NamedTuple, get_args

from deliverylab.core.metrics.catalogue import METRICS
from deliverylab.core.metrics.spec import Kind
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.vocabulary.events import EVENTS, ORDER
from deliverylab.core.vocabulary.landmarks import PLACING_ORDER, Hand, key_for_role
from deliverylab.core.workflow.placing_frames import N_FRAMES, helping_frames, spread_frames
from deliverylab.core.workflow.placing_needs import n_results_at

PlacingOrder = Literal["frame", "landmark"]
"""A frame's landmarks one after the other, or one landmark through the frames."""
Purpose = Literal["results", "tracking", "rest"]
"""What a position is wanted for, the most urgent first: results at events; a frame that helps the
tracker, and with it speeds; the whole figure."""
PURPOSES: tuple[Purpose, ...] = get_args(Purpose)
MOVING_KINDS: frozenset[Kind] = frozenset(
    {"speed", "peak_speed", "peak_time", "kept_speed", "support_force"}
)
"""Kinds of metrics of one clip that need positions over time."""


class Ask(NamedTuple):
    """A landmark to be placed in a frame."""

    frame: int
    landmark: str


@dataclass(frozen=True, kw_only=True)
class Stop:
    """A frame at which landmarks matter.

    Attributes
    ----------
    frame : int
        Frame of the clip.
    purpose : {"results", "tracking", "rest"}
        What they are wanted for.
    event : str
        The event there, whose results need them; or empty.
    landmarks : tuple of str
        All that are wanted here for this purpose, in the guided order.
    missing : tuple of str
        Those of them that are neither there nor said to be hidden.
    """

    frame: int
    purpose: Purpose
    event: str
    landmarks: tuple[str, ...]
    missing: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, eq=False)
class PlacingPlan:
    """Where landmarks matter in a clip, the most urgent first; equal to itself alone.

    Attributes
    ----------
    stops : tuple of Stop
        By purpose; of results the event that opens most results first.
    landmarks : tuple of str
        The body's landmarks in the guided order.
    """

    stops: tuple[Stop, ...]
    landmarks: tuple[str, ...]

    @cached_property
    def asks(self) -> tuple[Ask, ...]:
        """All that is still to be placed, frame by frame, the most urgent first."""
        return tuple(Ask(stop.frame, key) for stop in self.stops for key in stop.missing)

    @cached_property
    def _purposes(self) -> dict[Ask, Purpose]:
        return {Ask(stop.frame, key): stop.purpose for stop in self.stops for key in stop.landmarks}

    def purpose_of(self, ask: Ask) -> Purpose:
        """Return what a position is wanted for, there already or not; ``rest`` off the plan."""
        return self._purposes.get(ask, "rest")

    def in_frame(self, frame: int) -> tuple[str, ...]:
        """Return what is still to be placed in a frame that matters, the most urgent first."""
        return tuple(ask.landmark for ask in self.asks if ask.frame == frame)

    def next_in_frame(self, missing: Iterable[str], frame: int, start: str) -> str:
        """Return which of the landmarks that a frame lacks is asked for; empty without any.

        Parameters
        ----------
        missing : iterable of str
            Landmarks, in any order.
        frame : int
            Frame of the clip, on the plan or not.
        start : str
            Of equally urgent ones, where in the guided order to begin; empty: at its first.
        """
        first = self.landmarks.index(start) if start else 0
        return min(
            missing,
            key=lambda key: (
                self._urgency(Ask(frame, key)),
                (self.landmarks.index(key) - first) % len(self.landmarks),
            ),
            default="",
        )

    def has_results(self, frame: int) -> bool:
        """Return whether a frame is an event's at which results need landmarks."""
        return any(stop.frame == frame and stop.purpose == "results" for stop in self.stops)

    def n_of(self, purpose: Purpose) -> tuple[int, int]:
        """Return how many positions of a purpose are settled, and how many there are."""
        stops = [stop for stop in self.stops if stop.purpose == purpose]
        n_all = sum(len(stop.landmarks) for stop in stops)
        return n_all - sum(len(stop.missing) for stop in stops), n_all

    def after(self, ask: Ask, order: PlacingOrder, passed: Iterable[Ask] = ()) -> Ask | None:
        """Return what to place once this is placed, hidden or passed over.

        Parameters
        ----------
        ask : Ask
            What was just dealt with; it need not be on the plan.
        order : {"frame", "landmark"}
            The frame's other landmarks, or the landmark's other frames, come first.
        passed : iterable of Ask
            What is to be left out.

        Returns
        -------
        Ask or None
            None once nothing as urgent is left: to go on to less urgent things is a decision.
        """
        left_out = {ask, *passed}
        urgency = self._urgency(ask)
        open_asks = [
            each for each in self.asks if each not in left_out and self._urgency(each) <= urgency
        ]
        if not open_asks:
            return None
        return min(open_asks, key=lambda each: self._distance(ask, each, order))

    def _urgency(self, ask: Ask) -> int:
        return PURPOSES.index(self.purpose_of(ask))

    def _distance(self, start: Ask, ask: Ask, order: PlacingOrder) -> tuple[int, ...]:
        """Return how late an ask comes after another one: smaller is sooner."""
        at, first = self.landmarks.index(ask.landmark), self.landmarks.index(start.landmark)
        n_on = (at - first) % len(self.landmarks)
        urgency = self._urgency(ask)
        if order == "landmark":
            is_behind = n_on == 0 and ask.frame < start.frame
            return (int(n_on > 0), urgency, n_on, int(is_behind), ask.frame)
        if ask.frame == start.frame:
            return (0, urgency, n_on)
        return (1, urgency, self.frames.index(ask.frame), at)

    @cached_property
    def frames(self) -> tuple[int, ...]:
        """Frames that matter, the most urgent first."""
        return tuple(dict.fromkeys(stop.frame for stop in self.stops))

    def place_after(self, frame: int, passed: Iterable[Ask] = ()) -> Ask | None:
        """Return where to go from a frame: round and round the frames with something to place.

        The most urgent one comes first, less urgent ones follow; None when all is placed.
        """
        left_out = set(passed)
        first: dict[int, Ask] = {}
        for ask in self.asks:
            if ask not in left_out:
                first.setdefault(ask.frame, ask)
        frames = list(first)
        if not frames or frames == [frame]:
            return None
        at = frames.index(frame) + 1 if frame in first else 0
        return first[frames[at % len(frames)]]


def placing_plan(delivery: Delivery, camera: Camera) -> PlacingPlan:
    """Return what is to be placed in a clip, from what is marked and placed there now.

    Parameters
    ----------
    delivery, camera : Delivery, Camera
        Positions count as there wherever they came from: placed, tracked, detected.

    Notes
    -----
    Marked events come first, that which opens most results leading, with the landmarks that its
    results need from this view.  Frames that help the tracker follow, about ten with the events;
    without any event they are spread evenly over the trimmed clip.  The rest of the figure is last.
    """
    hand = delivery.athlete.hand
    keys = tuple(key_for_role(role, hand) for role in PLACING_ORDER)
    events = _event_frames(delivery, camera)
    wanted = {frame: _of(keys, landmarks_at(delivery, camera, each)) for frame, each in events}
    moving = _of(keys, _moving_landmarks(hand, camera.view)) or keys
    if events:
        others = helping_frames(camera, moving, tuple(wanted))
    else:
        others, moving = spread_frames(camera, N_FRAMES), keys
    named = dict(reversed(events))
    frames = (*wanted, *others)
    stops: list[Stop] = []
    taken: dict[int, set[str]] = {frame: set() for frame in frames}
    by_purpose: dict[Purpose, dict[int, tuple[str, ...]]] = {
        "results": wanted,
        "tracking": dict.fromkeys(frames, moving),
        "rest": dict.fromkeys(frames, keys),
    }
    for purpose, by_frame in by_purpose.items():
        for frame, landmarks in by_frame.items():
            own = tuple(key for key in landmarks if key not in taken[frame])
            taken[frame].update(own)
            missing = tuple(key for key in own if not is_settled(camera, key, frame))
            if own:
                event = named.get(frame, "")
                stops.append(
                    Stop(frame=frame, purpose=purpose, event=event, landmarks=own, missing=missing)
                )
    return PlacingPlan(stops=tuple(stops), landmarks=keys)


def is_settled(camera: Camera, landmark: str, frame: int) -> bool:
    """Return whether a landmark has a position in a frame, or is said to be hidden there."""
    frames = camera.track(landmark).frames
    row = int(frames.searchsorted(frame))
    is_there = row < len(frames) and int(frames[row]) == frame
    return is_there or camera.is_occluded(landmark, frame)


def _of(keys: tuple[str, ...], wanted: Iterable[str]) -> tuple[str, ...]:
    """Return the wanted landmarks in the guided order."""
    chosen = set(wanted)
    return tuple(key for key in keys if key in chosen)


def _event_frames(delivery: Delivery, camera: Camera) -> list[tuple[int, str]]:
    """Return frames and events that positions are placed at, that with most results first."""
    key_instants = {event.key for event in EVENTS if event.key_instant}
    n_results = {event: n_results_of(event, camera.view) for event in camera.marks}
    events = sorted(camera.marks, key=lambda event: (-n_results[event], ORDER[event]))
    found = [
        (camera.timing.frame_at(camera.marks[event].time_s), event)
        for event in events
        if event in key_instants or landmarks_at(delivery, camera, event)
    ]
    return [each for each in found if camera.first_frame <= each[0] <= camera.end_frame]


@lru_cache(maxsize=64)
def n_results_of(event: str, view: str) -> int:
    """Return how many results of a clip of this view are read at an event from positions."""
    return sum(
        bool(spec.landmarks) and event in spec.instants(each) and view in spec.views_at(each)
        for spec in METRICS
        for each in spec.result_events
    )


def landmarks_at(delivery: Delivery, camera: Camera, event: str) -> frozenset[str]:
    """Return the landmarks that results need at an event: of this view, or of all where two filmed.

    What several clips tell together takes every landmark in each of them.
    """
    hand = delivery.athlete.hand
    if len(delivery.cameras) > 1:
        return _in_any_view(event, hand)
    return frozenset(n_results_at(event, hand, camera.view))


@lru_cache(maxsize=64)
def _in_any_view(event: str, hand: Hand) -> frozenset[str]:
    roles = {
        role
        for spec in METRICS
        for each in spec.result_events
        for number, instant in enumerate(spec.instants(each))
        if instant == event
        for role in spec.landmarks_at(number)
    }
    return frozenset(key_for_role(role, hand) for role in roles)


def _moving_landmarks(hand: Hand, view: str) -> Iterator[str]:
    """Yield the landmarks that results over time need, from this view."""
    for spec in METRICS:
        if spec.kind in MOVING_KINDS and view in spec.views:
            for role in spec.landmarks:
                yield key_for_role(role, hand)
