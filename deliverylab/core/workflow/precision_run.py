"""A check of placing again: which landmarks in which frames, in hidden order, one after the other.

A run is a frozen value of the model; each step returns the next one.  It may be put into the
record at any time (`kept`) and gone on with later: what waits is in it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import msgspec
import numpy as np

from deliverylab.core.errors import NotFoundError, UsageError
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.precision import (
    REPLACED_ORIGINS,
    PlacedAgain,
    PlacingRun,
    PlacingTarget,
)
from deliverylab.core.model.precision_changes import SetPlacingRun
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS, key_for_role
from deliverylab.core.workflow.positions import repeats_from_text

FRAMES_EACH = 6
"""Frames in which a landmark is placed again, unless more are asked for."""
NEAR_EVENT_FRAMES = 3
"""Frames this near to an event are what measuring uses, and are taken first."""

replace = msgspec.structs.replace


def repeat_targets(
    delivery: Delivery,
    camera: str | None = None,
    *,
    landmarks: Iterable[str] = (),
    n_frames_each: int = FRAMES_EACH,
    times: int = 1,
    seed: int = 0,
) -> tuple[PlacingTarget, ...]:
    """Return what is to be placed again, in an order that nobody can foresee.

    For each landmark, frames are drawn in which a person placed it: those at or beside events
    first, then any.  All targets come once in random order, then all again, so that a run that is
    broken off is even; the same target never follows itself.

    Parameters
    ----------
    delivery, camera : Delivery, str or None
        Of which delivery; its first camera when None.
    landmarks : iterable of str
        Keys or roles; all that are placed when empty.
    n_frames_each, times : int
        Frames a landmark, and how often each is placed.
    seed : int
        The same seed gives the same order.

    Raises
    ------
    UsageError
        Nothing there was placed by hand, or a number below 1.
    NotFoundError
        No such camera or landmark.
    """
    if n_frames_each < 1 or times < 1:
        raise UsageError("a check of placing needs one frame and one placing at least")
    chosen_camera = delivery.camera(camera)
    keys = [key_for_role(each, delivery.athlete.hand) for each in landmarks] or LANDMARK_KEYS
    random = np.random.default_rng(seed)
    targets = [
        PlacingTarget(chosen_camera.name, frame, key)
        for key in dict.fromkeys(keys)
        for frame in _drawn_frames(chosen_camera, key, n_frames_each, random)
    ]
    if not targets:
        raise UsageError(
            "nothing was placed by hand here that could be placed again",
            where=f"{delivery.name}: {chosen_camera.name}",
            remedy="place landmarks first, at the events at least",
        )
    if len(targets) == 1 and times > 1:
        raise UsageError(
            "one point cannot be placed twice in hidden order",
            where=f"{targets[0].landmark}, frame {targets[0].frame}",
            remedy="take more landmarks, or more frames",
        )
    return _shuffled(targets, times, random)


def _drawn_frames(
    camera: Camera, landmark: str, n_most: int, random: np.random.Generator
) -> list[int]:
    """Return frames in which the landmark was placed by hand, those near events first."""
    hand_placed = [
        frame for frame, position in camera.track(landmark) if position.origin in REPLACED_ORIGINS
    ]
    event_frames = [camera.timing.frame_at(mark.time_s) for mark in camera.marks.values()]
    drawn = [int(frame) for frame in random.permutation(hand_placed)]
    # a stable sort: within either group the order stays random
    drawn.sort(
        key=lambda frame: all(abs(frame - event) > NEAR_EVENT_FRAMES for event in event_frames)
    )
    return drawn[:n_most]


def _shuffled(
    targets: Sequence[PlacingTarget], times: int, random: np.random.Generator
) -> tuple[PlacingTarget, ...]:
    """Return all targets in random order, `times` over, none right after itself."""
    ordered: list[PlacingTarget] = []
    for _ in range(times):
        turn = [targets[place] for place in random.permutation(len(targets))]
        if ordered and turn[0] == ordered[-1]:
            turn.append(turn.pop(0))
        ordered += turn
    return tuple(ordered)


def new_run(
    delivery: Delivery,
    targets: Sequence[PlacingTarget],
    placer: str,
    date: str,
    *,
    original_placer: str | None = None,
) -> PlacingRun:
    """Return a run that has all its targets before it.

    Parameters
    ----------
    original_placer : str or None
        Who had placed the record's positions; None takes what the delivery's earlier runs say, and
        without any the same person.
    """
    earlier = delivery.placing_runs
    if original_placer is None:
        original_placer = earlier[0].who_placed_before if earlier else placer
    taken = {run.name for run in earlier}
    base = f"{placer} {date}".strip()
    names = (base if n == 1 else f"{base} ({n})" for n in range(1, len(taken) + 2))
    return PlacingRun(
        name=next(name for name in names if name not in taken),
        placer=placer,
        date=date,
        original_placer="" if original_placer == placer else original_placer,
        waiting=tuple(targets),
    )


def next_target(run: PlacingRun) -> PlacingTarget | None:
    """Return what is to be placed now; None when the run is finished."""
    return run.waiting[0] if run.waiting else None


def with_placed(run: PlacingRun, delivery: Delivery, x_px: float, y_px: float) -> PlacingRun:
    """Return the run with its next target placed here.

    Raises
    ------
    UsageError
        Nothing waits.
    InputValueError
        Not two numbers.
    """
    target, waiting = _next(run)
    placed = placed_again(delivery, target, x_px, y_px)
    return replace(run, placed=(*run.placed, placed), waiting=waiting)


def with_skipped(run: PlacingRun) -> PlacingRun:
    """Return the run without its next target: it cannot be seen; UsageError when nothing waits."""
    return replace(run, waiting=_next(run)[1])


def with_last_taken_back(run: PlacingRun) -> PlacingRun:
    """Return the run with the last placed target before it again; as it is when none is placed."""
    if not run.placed:
        return run
    return replace(run, placed=run.placed[:-1], waiting=(run.placed[-1].target, *run.waiting))


def _next(run: PlacingRun) -> tuple[PlacingTarget, tuple[PlacingTarget, ...]]:
    if not run.waiting:
        raise UsageError("this run is finished", where=run.name, remedy="begin another")
    return run.waiting[0], run.waiting[1:]


def placed_again(
    delivery: Delivery, target: PlacingTarget, x_px: float, y_px: float
) -> PlacedAgain:
    """Return a target placed again, beside where a person had placed it before.

    Raises
    ------
    NotFoundError
        No such camera.
    """
    before = delivery.camera(target.camera).track(target.landmark).at(target.frame)
    # plain numbers, whatever they were computed with: they go into the project's file
    at = (float(x_px), float(y_px))
    if before is None or before.origin not in REPLACED_ORIGINS:
        return PlacedAgain(*target, *at)
    return PlacedAgain(*target, *at, before.x_px, before.y_px)


def run_from_table(
    delivery: Delivery,
    camera: str | None,
    text: str,
    where: str,
    *,
    placer: str,
    date: str,
    original_placer: str | None = None,
) -> PlacingRun:
    """Return a finished run from a table with the columns frame, landmark, x_px and y_px.

    Raises
    ------
    InputValueError
        Rows that cannot be used; each is named by its line.
    NotFoundError
        No such camera.
    """
    owner = delivery.camera(camera)
    rows = repeats_from_text(
        text, where, hand=delivery.athlete.hand, n_frames=owner.timing.n_frames
    )
    placed = tuple(
        placed_again(delivery, PlacingTarget(owner.name, frame, key), at.x_px, at.y_px)
        for key, frame, at in rows
    )
    run = new_run(delivery, (), placer, date, original_placer=original_placer)
    return replace(run, placed=placed)


def kept(delivery: Delivery, run: PlacingRun) -> SetPlacingRun:
    """Return the change that puts a run, finished or not, into the record."""
    return SetPlacingRun(delivery=delivery.name, name=run.name, run=run)


def run_of(delivery: Delivery, name: str) -> PlacingRun:
    """Return a run by its name, to go on with it or to look at it.

    Raises
    ------
    NotFoundError
        No such run; the message lists the names.
    """
    for run in delivery.placing_runs:
        if run.name == name:
            return run
    names = ", ".join(run.name for run in delivery.placing_runs) or "none yet"
    raise NotFoundError(
        "no such placing run", where=f"{delivery.name}: {name}", remedy=f"the runs are: {names}"
    )
