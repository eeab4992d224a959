"""What each picture of a walkthrough shows: which instant of both deliveries, and for how long."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from deliverylab.core.compare.align import FloatArray, Timeline
from deliverylab.core.compare.known_marks import with_known_marks
from deliverylab.core.errors import UsageError
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.walkthrough import Stop, Walkthrough
from deliverylab.core.vocabulary.events import BY_KEY, ORDER

LEAD_S = 0.3
"""Real seconds of the athlete's delivery that run before the first stop and after the last one."""
RATE_HZ = 30
"""Pictures a second of the finished clip."""


@dataclass(frozen=True, kw_only=True)
class FrameCue:
    """One picture of the walkthrough.

    Attributes
    ----------
    phase : float
        Percent, on the athlete's phase scale.
    stop : int or None
        Which stop of the script it stands still at; None while the movement runs.
    next_stop : int or None
        The stop that the movement runs to, or stands at; None after the last one.
    athlete_s, model_s : float
        Instants on the clips' own clocks.
    athlete_frame, model_frame : int
        Frames of both clips that show them, within the trimmed clips.
    """

    phase: float
    stop: int | None
    next_stop: int | None
    athlete_s: float
    model_s: float
    athlete_frame: int
    model_frame: int


@dataclass(frozen=True, kw_only=True)
class Walked:
    """Two deliveries, the clip of each that is shown, and how their times go together.

    Attributes
    ----------
    a, b : Delivery
        The athlete's and the model delivery.
    camera_a, camera_b : Camera
        What is shown of each, with all marks that are known on its clock.
    athlete : Timeline
        Phase over the athlete's clip.
    model : Timeline
        The model clip's time at a phase of the athlete's: it passes every event that both know at
        the same instant.
    """

    a: Delivery
    b: Delivery
    camera_a: Camera
    camera_b: Camera
    athlete: Timeline
    model: Timeline

    @property
    def events(self) -> tuple[str, ...]:
        """Events that both clips know, in the order of the table."""
        return _shared(self.camera_a, self.camera_b)

    def side(self, cue: FrameCue, *, is_model: bool) -> tuple[Delivery, Camera, int]:
        """Return delivery, clip and frame of one side of a picture."""
        if is_model:
            return self.b, self.camera_b, cue.model_frame
        return self.a, self.camera_a, cue.athlete_frame

    def instant(self, stop: Stop) -> tuple[float, float]:
        """Return both clips' times at a stop, seconds of their own clocks.

        Raises
        ------
        UsageError
            It is at an event that one of them does not know.
        """
        if stop.phase is not None:
            return float(self.athlete.time_at(stop.phase)), float(self.model.time_at(stop.phase))
        for delivery, camera in ((self.a, self.camera_a), (self.b, self.camera_b)):
            if stop.event not in camera.marks:
                name = BY_KEY[stop.event].name if stop.event in BY_KEY else stop.event
                raise UsageError(
                    f"the walkthrough stops at {name}, which is not marked",
                    where=f"{delivery.name}, camera {camera.name}",
                    remedy="mark it, or take the stop out of the script",
                )
        marks = self.camera_a.marks[stop.event], self.camera_b.marks[stop.event]
        return marks[0].time_s, marks[1].time_s


def walked(a: Delivery, b: Delivery) -> Walked:
    """Return what a walkthrough of two deliveries shows of each.

    Of the clips that can be laid over each other in time, the first pair that shows the same view;
    the first pair at all where none does.

    Raises
    ------
    UsageError
        Too few events are marked in both.
    """
    problem: UsageError | None = None
    found: list[Walked] = []
    for mine in a.cameras:
        for other in b.cameras:
            try:
                found.append(_aligned(a, b, mine, other))
            except UsageError as refusal:
                problem = problem or refusal
    if not found:
        raise problem or UsageError(
            "there is no clip to walk through", where=f"{a.name} and {b.name}", remedy="add clips"
        )
    alike = (each for each in found if each.camera_a.view == each.camera_b.view)
    return next(alike, found[0])


def _aligned(a: Delivery, b: Delivery, camera_a: Camera, camera_b: Camera) -> Walked:
    camera_a, camera_b = with_known_marks(a, camera_a), with_known_marks(b, camera_b)
    athlete = Timeline.of(camera_a)
    Timeline.of(camera_b)  # says what is missing there
    times_s: list[float] = []
    phases: list[float] = []
    for event in sorted(
        _shared(camera_a, camera_b), key=lambda event: camera_a.marks[event].time_s
    ):
        phase = float(athlete.phase_at(camera_a.marks[event].time_s))
        time_s = camera_b.marks[event].time_s
        # an event that comes in another order in the two cannot be passed at the same instant
        if not times_s or (time_s > times_s[-1] and phase > phases[-1]):
            times_s.append(time_s)
            phases.append(phase)
    if len(times_s) < 2:
        raise UsageError(
            "the two deliveries have too few events in common",
            where=f"{a.name} and {b.name}",
            remedy="mark at least two of the same events in both",
        )
    timing = camera_b.timing if camera_b.timing.repair else None
    model = Timeline(tuple(times_s), tuple(phases), timing)
    return Walked(a=a, b=b, camera_a=camera_a, camera_b=camera_b, athlete=athlete, model=model)


def _shared(camera_a: Camera, camera_b: Camera) -> tuple[str, ...]:
    events = (event for event in camera_a.marks if event in camera_b.marks)
    return tuple(sorted(events, key=lambda event: ORDER.get(event, len(ORDER))))


def cues_of(script: Walkthrough, pair: Walked, *, rate_hz: float = RATE_HZ) -> tuple[FrameCue, ...]:
    """Return what every picture of a walkthrough shows, in order.

    Parameters
    ----------
    script : Walkthrough
    pair : Walked
        Both deliveries, as `walked` gives them.
    rate_hz : float
        Pictures a second of the finished clip.

    Returns
    -------
    tuple of FrameCue
        One a picture, so that the clip lasts ``len / rate_hz`` seconds.

    Raises
    ------
    UsageError
        A stop at an event that one of them does not know.

    Notes
    -----
    A pause of p seconds takes round(p × rate) pictures, and one at least: the instant itself is
    seen once.  From one stop to a later one that is t real seconds of the athlete's delivery away,
    the movement takes n = max(1, round(t × rate / speed)) steps, hence n − 1 pictures between the
    two; before the first stop and after the last, `LEAD_S` real seconds run, as far as the
    athlete's clip goes.  To a stop that is not later than the one before, the clip cuts.
    """
    instants = [pair.instant(stop) for stop in script.stops]
    real_s = pair.camera_a.timing.real_s
    stops_s = [float(real_s(athlete_s)) for athlete_s, _ in instants]
    starts_s, ends_s = _outer_s(pair, stops_s)
    steps_per_s = rate_hz / script.speed
    if not stops_s:
        return _running(pair, _steps(starts_s, ends_s, steps_per_s), None)
    cues = list(_running(pair, _steps(starts_s, stops_s[0], steps_per_s)[:-1], 0))
    for number, stop in enumerate(script.stops):
        cues += [_still(pair, instants[number], number)] * max(1, round(stop.pause_s * rate_hz))
        if number + 1 < len(stops_s):
            between_s = _steps(stops_s[number], stops_s[number + 1], steps_per_s)[1:-1]
            cues += _running(pair, between_s, number + 1)
    return (*cues, *_running(pair, _steps(stops_s[-1], ends_s, steps_per_s)[1:], None))


def _outer_s(pair: Walked, stops_s: Sequence[float]) -> tuple[float, float]:
    """Return where the movement begins and ends, real seconds of the athlete's clip."""
    timing = pair.camera_a.timing
    outer = (
        (stops_s[0], stops_s[-1])
        if stops_s
        else timing.real_s([pair.instant(Stop(event=pair.events[end]))[0] for end in (0, -1)])
    )
    shown_s = timing.real_s(timing.times_s[[pair.camera_a.first_frame, pair.camera_a.end_frame]])
    return (
        float(max(shown_s[0], outer[0] - LEAD_S)),
        float(min(shown_s[1], outer[1] + LEAD_S)),
    )


def _steps(from_s: float, to_s: float, steps_per_s: float) -> FloatArray:
    """Return the instants from one to a later one, both included; empty for one not later."""
    if to_s <= from_s:
        return np.zeros(0)
    return np.linspace(from_s, to_s, max(1, round((to_s - from_s) * steps_per_s)) + 1)


def _running(pair: Walked, real_s: FloatArray, next_stop: int | None) -> tuple[FrameCue, ...]:
    """Return a picture for each real second of the athlete's clip while the movement runs."""
    athlete_s = pair.camera_a.timing.clip_s(real_s)
    phases = pair.athlete.phase_at(athlete_s)
    instants = zip(athlete_s.tolist(), pair.model.time_at(phases).tolist(), strict=True)
    return tuple(_cue(pair, instant, None, next_stop) for instant in instants)


def _still(pair: Walked, instant: tuple[float, float], number: int) -> FrameCue:
    return _cue(pair, instant, number, number)


def _cue(
    pair: Walked, instant: tuple[float, float], stop: int | None, next_stop: int | None
) -> FrameCue:
    athlete_s, model_s = instant
    return FrameCue(
        phase=float(pair.athlete.phase_at(athlete_s)),
        stop=stop,
        next_stop=next_stop,
        athlete_s=athlete_s,
        model_s=model_s,
        athlete_frame=_frame_at(pair.camera_a, athlete_s),
        model_frame=_frame_at(pair.camera_b, model_s),
    )


def _frame_at(camera: Camera, time_s: float) -> int:
    """Return the frame nearest to a time, within the trimmed clip."""
    return min(max(camera.timing.frame_at(time_s), camera.first_frame), camera.end_frame)
