"""Patterns over a clip's pictures: regular repeats, in-between pictures, and jumps.

The limits were set on clips made for it (``tests/benchmarks/bench_clip_checks.py`` prints how often
each is found and how often it is seen where it is not).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
Ranges = tuple[tuple[int, int], ...]

LONGEST_PERIOD_FRAMES = 12
# A cadence is believed where it goes round this often.
_LEAST_ROUNDS = 4
_REGULAR_SHARE = 0.95
_LEAST_CHANGE = 0.1
# After a repeat that hides a lost picture the scene has moved twice as far.
_LOST_JUMP = 1.6
_EVEN_JUMP = 1.3
_BLEND_CONTRAST = 2.0
_LOW_BLEND = 0.22
_EXPLAINED = 0.45
# Coders sharpen pictures in turn too: own measurement on clips of a delivery, up to 0.59.
_SOFT_EXPLAINED = 0.6
# Between twice the softest worth noticing and what mixing two pictures can take away; a coder that
# spends its bits on one picture in four makes larger swings of hard textures.
_SHARPNESS_SWING = (0.12, 1.2)
_JUMP = (1.7, 2.6)
_CALM = 1.3
# Where moving twice as far changes a picture by less than this part more, it cannot be told.
_LEAST_LEAP = 1.5
_LEAST_APART = 0.12
_ALIKE = 1.1


class Cadence(NamedTuple):
    """One picture in how many repeats, and in which place of the period the repeats stand."""

    period: int
    places: tuple[int, ...]

    def repeats(self, n_frames: int) -> NDArray[np.bool_]:
        """Return which frames of a clip repeat the one before, shape (n_frames,)."""
        repeats = np.isin(np.arange(n_frames) % self.period, self.places)
        repeats[0] = False
        return repeats


def repeat_cadence(repeats: tuple[int, ...], changes: FloatArray) -> Cadence | None:
    """Return the regular pattern of the repeats; None where they follow none.

    Parameters
    ----------
    repeats : tuple of int
        Frames that repeat the one before.
    changes : numpy.ndarray, shape (n,), grey levels
        How much each picture differs from the one before.

    Notes
    -----
    Only frames among moving pictures have a say: where the scene stands still, repeats cannot be told.
    """
    is_repeat = np.zeros(len(changes), bool)
    is_repeat[list(repeats)] = True
    frames = np.arange(len(changes))
    is_telling = _moving(changes) | is_repeat
    for period in range(2, LONGEST_PERIOD_FRAMES + 1):
        if np.count_nonzero(is_telling) < _LEAST_ROUNDS * period:
            break
        shares = np.array(
            [is_repeat[is_telling & (frames % period == place)].mean()
             if np.any(is_telling & (frames % period == place)) else 0.5
             for place in range(period)]
        )  # fmt: skip
        high = shares >= _REGULAR_SHARE
        if high.any() and not high.all() and np.all(high | (shares <= 1.0 - _REGULAR_SHARE)):
            return Cadence(period, tuple(np.flatnonzero(high).tolist()))
    return None


def jump_after_repeats(
    repeats: tuple[int, ...], changes: FloatArray, wide_changes: FloatArray
) -> float:
    """Return how far pictures after a repeat have moved, over the usual; NaN where it is not told.

    1 where repeats were put in between evenly spaced pictures, 2 where each hides a lost one.

    Parameters
    ----------
    repeats : tuple of int
        Frames that repeat the one before.
    changes, wide_changes : numpy.ndarray, shape (n,), grey levels
        From the picture before, and from the one before that: what moving twice as far does to a
        picture is read off the clip itself.
    """
    is_repeat = np.zeros(len(changes), bool)
    is_repeat[list(repeats)] = True
    is_after = np.concatenate(([False], is_repeat[:-1])) & ~is_repeat
    is_calm = ~is_repeat & ~is_after
    is_wide = is_calm & np.concatenate(([False], is_calm[:-1]))
    ratios = []
    for frame in np.flatnonzero(is_after):
        near = slice(max(1, frame - 6), frame + 7)
        usual, twice = changes[near][is_calm[near]], wide_changes[near][is_wide[near]]
        if np.isfinite(usual).any() and np.nanmedian(usual) > _LEAST_CHANGE:
            ratios.append(_ways(changes[frame], usual, twice))
    return float(np.nanmedian(ratios)) if np.isfinite(ratios).any() else float("nan")


def _ways(change: float, usual: FloatArray, twice: FloatArray) -> float:
    """Return how many usual ways a change is worth: 1 as the usual ones, 2 as those across two."""
    once = float(np.nanmedian(usual))
    if np.isfinite(twice).any():
        apart = float(np.nanmedian(twice)) - once
        return 1.0 + (change - once) / apart if apart >= _LEAST_APART * once else float("nan")
    # no two usual pictures stand side by side: alike is alike, more than that is not told
    return 1.0 if change <= _ALIKE * once else float("nan")


def hides_lost_pictures(jump: float) -> bool | None:
    """Return whether repeats stand for lost pictures; None where the jump does not tell."""
    if jump >= _LOST_JUMP:
        return True
    return False if jump <= _EVEN_JUMP else None


def in_between_period(blends: FloatArray, sharpening: FloatArray) -> int | None:
    """Return the number of pictures from one taken by the camera to the next; None where all are.

    Mixtures lie nearer to the mean of their neighbours than pictures of the camera do, in turn; what
    was worked out from motion is softer, in turn.
    """
    logs = np.log(np.maximum(blends, 0.01))
    best: tuple[float, int] | None = None
    for period in range(2, LONGEST_PERIOD_FRAMES + 1):
        explained, levels = _explained(logs, period)
        is_mixed = levels is not None and bool(
            np.exp(np.ptp(levels)) >= _BLEND_CONTRAST and np.exp(levels.min()) <= _LOW_BLEND
        )
        soft, turns = _explained(sharpening, period)
        if (
            turns is not None
            and soft >= _SOFT_EXPLAINED
            and _SHARPNESS_SWING[0] <= np.ptp(turns) <= _SHARPNESS_SWING[1]
            and soft > explained
        ):
            explained, is_mixed = soft, True
        if is_mixed and explained >= _EXPLAINED and (best is None or explained > best[0] + 0.05):
            best = explained, period
    return None if best is None else best[1]


def _explained(values: FloatArray, period: int) -> tuple[float, FloatArray | None]:
    """Return the share of the variance that a period explains beyond chance, and its levels."""
    frames = np.flatnonzero(np.isfinite(values))
    if len(frames) < _LEAST_ROUNDS * period:
        return 0.0, None
    places = [values[frames[frames % period == place]] for place in range(period)]
    if min(map(len, places)) < _LEAST_ROUNDS - 1:
        return 0.0, None
    levels = np.array([np.median(each) for each in places])
    within = sum(
        float(np.abs(each - level).sum()) for each, level in zip(places, levels, strict=True)
    )
    around = float(np.abs(values[frames] - np.median(values[frames])).sum())
    if around == 0.0:
        return 0.0, None
    freedom = len(frames) / max(1, len(frames) - period)
    return 1.0 - freedom * within / around, levels


def jumps(changes: FloatArray, wide_changes: FloatArray, motion_px: FloatArray) -> tuple[int, ...]:
    """Return frames before which a picture seems lost: moved twice as far as those beside did.

    A key frame changes all of a picture without moving it, so the way of what moves must agree.
    """
    found = []
    for frame in range(5, len(changes) - 3):
        beside = changes[[frame - 2, frame - 1, frame + 1, frame + 2]]
        twice = wide_changes[[frame - 2, frame - 1, frame + 2, frame + 3]]
        if not np.isfinite([*beside, *twice]).all() or beside.min() < 4.0 * _LEAST_CHANGE:
            continue
        is_calm = beside.max() <= _CALM * beside.min()
        ways_px = motion_px[[frame - 2, frame - 1, frame + 1, frame + 2]]
        is_calm &= bool(motion_px[frame] >= _LEAST_LEAP * np.median(ways_px))
        if is_calm and _JUMP[0] <= _ways(float(changes[frame]), beside, twice) <= _JUMP[1]:
            found.append(frame)
    return tuple(found)


def _moving(changes: FloatArray) -> NDArray[np.bool_]:
    """Return which pictures stand among moving ones."""
    is_moving = np.zeros(len(changes), bool)
    for frame in np.flatnonzero(np.isfinite(changes)):
        around = changes[max(0, frame - 8) : frame + 9]
        is_moving[frame] = np.nanmedian(around) >= 4.0 * _LEAST_CHANGE
    return is_moving
