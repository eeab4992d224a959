"""Where a landmark may be in a frame, as a start for the hand; and pairs placed the wrong way round."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Literal, NamedTuple

import numpy as np

from deliverylab.core.model.changes import Batch, Change
from deliverylab.core.model.clip_changes import SetOccluded, SetPositions
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.track import ORIGINS, Position, Track
from deliverylab.core.vocabulary.landmarks import BY_KEY, LANDMARK_KEYS, landmark, role_name
from deliverylab.core.vocabulary.segments import DRAWN

N_NEAR = 3
"""Landmarks placed in this frame already whose own guesses tell how far this one is off."""
_BY_HAND = tuple(ORIGINS.index(origin) for origin in ("placed", "imported"))
_Place = tuple[float, float]


class Guess(NamedTuple):
    """Where a landmark may be: a start for the hand, never a position.

    Attributes
    ----------
    x_px, y_px : float
        Place in the upright frame.
    source : {"between", "copied", "start"}
        Between the positions before and after; copied from the nearest one; or no more than a
        place to begin at, for the landmark has no position in any frame.
    """

    x_px: float
    y_px: float
    source: Literal["between", "copied", "start"]


def guess(camera: Camera, key: str, frame: int) -> Guess:
    """Return where a landmark may be in a frame.

    Parameters
    ----------
    camera : Camera
        With what is placed so far, in this frame too.
    key : str
        Landmark.
    frame : int
        Frame of the clip.

    Notes
    -----
    The line between its positions before and after, or the nearer one's place, is shifted by what
    the nearest landmarks in this frame are off theirs: a body that moves takes its joints along.
    """
    base = _from_other_frames(camera.track(key), frame)
    if base is None:
        x_px, y_px = _start(camera, key, frame)
        return Guess(x_px, y_px, "start")
    (x_px, y_px), is_between = base
    dx_px, dy_px = _shift(camera, key, frame, (x_px, y_px))
    x_px = min(max(x_px + dx_px, -0.5), camera.width_px - 0.5)
    y_px = min(max(y_px + dy_px, -0.5), camera.height_px - 0.5)
    return Guess(x_px, y_px, "between" if is_between else "copied")


def _from_other_frames(track: Track, frame: int) -> tuple[_Place, bool] | None:
    """Return the place that other frames tell, and whether frames on both sides do."""
    row = int(track.frames.searchsorted(frame))
    after = row + 1 if row < len(track) and int(track.frames[row]) == frame else row
    places = track.xy_px
    if row == 0 and after == len(track):
        return None
    if row == 0 or after == len(track):
        x_px, y_px = places[after if row == 0 else row - 1].tolist()
        return (x_px, y_px), False
    before_frame, after_frame = int(track.frames[row - 1]), int(track.frames[after])
    share = (frame - before_frame) / (after_frame - before_frame)
    x_px, y_px = (places[row - 1] + share * (places[after] - places[row - 1])).tolist()
    return (x_px, y_px), True


def _shift(camera: Camera, key: str, frame: int, place: _Place) -> _Place:
    """Return by how much the nearest landmarks of this frame are off what other frames tell."""
    off = []
    for other, track in camera.tracks.items():
        here = track.at(frame) if other not in {key, "ball"} else None
        told = None if here is None else _from_other_frames(track, frame)
        if here is not None and told is not None:
            (x_px, y_px), _ = told
            away = math.hypot(x_px - place[0], y_px - place[1])
            off.append((away, here.x_px - x_px, here.y_px - y_px))
    near = sorted(off)[:N_NEAR]
    if not near:
        return 0.0, 0.0
    return sum(row[1] for row in near) / len(near), sum(row[2] for row in near) / len(near)


def _start(camera: Camera, key: str, frame: int) -> _Place:
    """Return where to begin without any other frame: beside its pair or a joint next to it."""
    beside = [mirrored(key), *(b if a == key else a for a, b in DRAWN if key in (a, b))]
    for other in (*beside, *LANDMARK_KEYS):
        here = camera.track(other).at(frame)
        if here is not None and other != "ball":
            return here.x_px, here.y_px
    return 0.5 * camera.width_px, 0.5 * camera.height_px


def mirrored(key: str) -> str:
    """Return the other landmark of a pair; empty where there is one only.

    Raises
    ------
    NotFoundError
        No such landmark.
    """
    side = landmark(key).side
    if not side:
        return ""
    other = f"{'right' if side == 'left' else 'left'}_{key.partition('_')[2]}"
    return other if other in BY_KEY else ""


def frames_to_next_placed(camera: Camera, key: str, frame: int) -> tuple[int, ...]:
    """Return this frame and those after it, up to where either of a pair is placed by hand.

    What a machine made of a pair that was the wrong way round is wrong up to there.
    """
    ends = [camera.timing.n_frames]
    for each in (key, mirrored(key)):
        track = camera.track(each)
        by_hand = np.isin(track.origins, _BY_HAND) & (track.frames > frame)
        ends.extend(track.frames[by_hand][:1].tolist())
    return tuple(range(frame, min(ends)))


def swap_change(
    delivery: Delivery, camera: Camera, key: str, frames: Iterable[int]
) -> Change | None:
    """Return the edit that exchanges a pair's left and right in these frames.

    Positions keep their u and origin, and what is hidden goes along; None where there is nothing to
    exchange.
    """
    other = mirrored(key)
    if not other:
        return None
    pair = (key, other)
    positions: dict[str, dict[int, Position | None]] = {key: {}, other: {}}
    hidden: list[Change] = []
    where = {"delivery": delivery.name, "camera": camera.name}
    for frame in frames:
        ours, theirs = (camera.track(each).at(frame) for each in pair)
        if ours is not None or theirs is not None:
            positions[key][frame], positions[other][frame] = theirs, ours
        was = [camera.is_occluded(each, frame) for each in pair]
        if was[0] != was[1]:
            hidden += [
                SetOccluded(**where, landmark=each, frame=frame, is_occluded=not is_hidden)
                for each, is_hidden in zip(pair, was, strict=True)
            ]
    label = f"Swap {role_name(key)} and {role_name(other)}"
    change = SetPositions(**where, positions=positions, what=label)
    if not positions[key] and not hidden:
        return None
    return Batch(label=label, changes=(change, *hidden)) if hidden else change
