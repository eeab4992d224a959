"""What was done to a clip's time, in plain words: where, how certain, what follows, what to do."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from deliverylab.core.video.cadence import (
    Cadence,
    hides_lost_pictures,
    in_between_period,
    jump_after_repeats,
    jumps,
    repeat_cadence,
)
from deliverylab.core.video.pace import leaps, slow_stretches, true_changes

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from deliverylab.core.video.cadence import Ranges
    from deliverylab.core.video.traces import PictureTraces

Kind = Literal["repeats", "gaps", "varying", "dropped", "interpolated", "ramp"]
Certainty = Literal["certain", "likely", "possible"]
_GAP_FACTOR = 1.5
# Fewer repeats are too few to be sure what they stand for.
_LEAST_REPEATS = 3
_RECORDING = "use the recording as the camera made it"
_DROPPED_WHAT = "the motion jumps to about twice its pace: pictures seem to be lost"


@dataclass(frozen=True, kw_only=True)
class ClipFinding:
    """One thing that was done to a clip's time.

    Attributes
    ----------
    kind : {"repeats", "gaps", "varying", "dropped", "interpolated", "ramp"}
        Repeated pictures; gaps in the stamps; uneven stamps; pictures lost under even stamps;
        pictures made up between those of the camera; slow motion in a part only.
    frames : tuple of (int, int)
        Where, first and last frame of each stretch.
    certainty : {"certain", "likely", "possible"}
        How sure that is.
    what, follows, remedy : str
        For a person: what was found, what is withheld or done because of it, what to do.
    withholds_speeds : bool
        Whether no speed may be shown as long as this stands.
    """

    kind: Kind
    frames: Ranges
    certainty: Certainty
    what: str
    follows: str
    remedy: str = ""
    withholds_speeds: bool = False


@dataclass(frozen=True, kw_only=True)
class AxisRepair:
    """Times to measure by, shape (n,), seconds of the clip's own clock, and what was repaired."""

    times_s: tuple[float, ...]
    note: str


def stamp_findings(times_s: NDArray[np.float64], *, is_variable: bool) -> tuple[ClipFinding, ...]:
    """Return what the stamps tell: gaps and uneven spacing, both of which need no repair."""
    found = []
    spacings_s = np.diff(times_s)
    usual_s = float(np.median(spacings_s)) if len(spacings_s) else 0.0
    gaps = np.flatnonzero(spacings_s > _GAP_FACTOR * usual_s)
    # more than a few are another rate, not lost pictures
    if 0 < len(gaps) <= 0.1 * len(spacings_s):
        found.append(
            ClipFinding(
                kind="gaps",
                frames=tuple((int(frame), int(frame) + 1) for frame in gaps),
                certainty="certain",
                what=f"pictures are missing in {_places(len(gaps))}",
                follows="each picture's own time is used; an event in a gap is known less well",
            )
        )
    elif is_variable:
        found.append(
            ClipFinding(
                kind="varying",
                frames=((0, len(times_s) - 1),),
                certainty="certain",
                what=f"the time between pictures varies from {1000 * spacings_s.min():.1f} to "
                f"{1000 * spacings_s.max():.1f} ms",
                follows="each picture's own time is used",
            )
        )
    return tuple(found)


def picture_findings(
    times_s: NDArray[np.float64], traces: PictureTraces, repeats: tuple[int, ...]
) -> tuple[tuple[ClipFinding, ...], AxisRepair | None]:
    """Return what the pictures tell, and the repaired time axis where that is certain.

    Parameters
    ----------
    times_s : numpy.ndarray, shape (n,), s
        Presentation times.
    traces : PictureTraces
        Of all pictures.
    repeats : tuple of int
        Frames that repeat the one before.
    """
    found: list[ClipFinding] = []
    blends, sharpening = traces.blends.copy(), traces.sharpening.copy()
    for frame in repeats:
        blends[max(0, frame - 1) : frame + 2] = np.nan
        sharpening[frame : frame + 2] = np.nan
    period = in_between_period(blends, sharpening)
    # made-up pictures that hardly differ look like repeats too
    repair = repaired_axis(times_s, traces, repeats) if repeats and period is None else None
    if repeats:
        found.append(_repeats_finding(repeats, repair))
    if period is not None:
        found.append(_interpolated_finding(period, len(times_s)))
        return tuple(found), None
    # right stamps say themselves where pictures are missing
    gaps = bool(len(times_s) > 1 and np.ptp(np.diff(times_s)) > 0.5 * np.median(np.diff(times_s)))
    paces = true_changes(traces.paces, times_s, repeats)
    # across repeats nothing can be followed
    slow = slow_stretches(paces) if len(repeats) < _LEAST_REPEATS else ()
    if slow:
        found.append(_ramp_finding(slow))
    lost: set[int] = set()
    if not repeats and not gaps:
        speeds = _speeds(times_s, traces, repeats)
        lost = {*jumps(traces.changes, traces.wide_changes, speeds), *leaps(paces)}
    if lost:
        found.append(_dropped_finding(tuple(sorted(lost))))
    return tuple(found), repair


def repaired_axis(
    times_s: NDArray[np.float64], traces: PictureTraces, repeats: tuple[int, ...]
) -> AxisRepair | None:
    """Return the times the distinct pictures were taken at; None where that is not certain.

    Repeats in a regular cadence without a jump after them were put between evenly spaced pictures.
    Repeats that are each followed by a jump of twice the usual way stand for lost pictures, and all
    other pictures have their right time.
    """
    cadence = repeat_cadence(repeats, traces.changes)
    lost = hides_lost_pictures(jump_after_repeats(repeats, traces.changes, traces.wide_changes))
    is_even = len(times_s) > 1 and float(np.ptp(np.diff(times_s))) < 0.1 * float(
        np.diff(times_s).mean()
    )
    if cadence is not None and lost is False and is_even:
        return _spread(times_s, cadence)
    if lost and len(repeats) >= _LEAST_REPEATS:
        held_s = times_s.copy()
        for frame in repeats:
            held_s[frame] = held_s[frame - 1]
        return AxisRepair(
            times_s=tuple(held_s.tolist()),
            note=f"{len(repeats)} repeats stand for lost pictures: each has the time of the "
            "picture it shows, all others keep theirs",
        )
    return None


def _spread(times_s: NDArray[np.float64], cadence: Cadence) -> AxisRepair:
    """Space the distinct pictures evenly: the cadence goes on where nothing moves."""
    repeats = cadence.repeats(len(times_s))
    n_new = cadence.period - len(cadence.places)
    step_s = float(np.diff(times_s).mean()) * cadence.period / n_new
    even_s = np.cumsum(~repeats) - 1.0
    return AxisRepair(
        times_s=tuple((even_s * step_s).tolist()),
        note=f"{len(cadence.places)} of {cadence.period} pictures repeat in a regular cadence: the "
        f"others are spaced evenly, {1.0 / step_s:.3g} a second",
    )


def _speeds(
    times_s: NDArray[np.float64], traces: PictureTraces, repeats: tuple[int, ...]
) -> NDArray[np.float64]:
    """Return the way of each picture per usual spacing: right stamps explain what they explain."""
    spacings_s = np.diff(times_s)
    speeds = traces.motion_px.copy()
    speeds[1:] *= (np.median(spacings_s) if len(spacings_s) else 1.0) / spacings_s
    speeds[list(repeats)] = np.nan
    return speeds


def _repeats_finding(repeats: tuple[int, ...], repair: AxisRepair | None) -> ClipFinding:
    n_repeats = len(repeats)
    noun = "picture repeats" if n_repeats == 1 else "pictures repeat"
    return ClipFinding(
        kind="repeats",
        frames=tuple((frame, frame) for frame in repeats),
        certainty="certain",
        what=f"{n_repeats} {noun} the one before",
        follows=f"the time axis is repaired: {repair.note}" if repair else "speeds are withheld",
        remedy="" if repair else f"set the true capture rate, or {_RECORDING}",
    )


def _interpolated_finding(period: int, n_frames: int) -> ClipFinding:
    return ClipFinding(
        kind="interpolated",
        frames=((0, n_frames - 1),),
        certainty="likely",
        what="pictures were made up between those of the camera (about one in "
        f"{period} is the camera's own)",
        follows="speeds are withheld; an event may lie anywhere between two pictures of the camera",
        remedy=_RECORDING,
        withholds_speeds=True,
    )


def _ramp_finding(slow: Ranges) -> ClipFinding:
    return ClipFinding(
        kind="ramp",
        frames=slow,
        certainty="likely",
        what=f"the motion slows down at once and speeds up again in {_places(len(slow))}, as in "
        "edited slow motion",
        follows="speeds are withheld: one capture rate does not hold for the whole clip",
        remedy=f"{_RECORDING}, or the part with one rate",
        withholds_speeds=True,
    )


def _dropped_finding(lost: tuple[int, ...]) -> ClipFinding:
    return ClipFinding(
        kind="dropped",
        frames=tuple((frame - 1, frame) for frame in lost),
        certainty="possible",
        what=f"{_DROPPED_WHAT} in {_places(len(lost))}",
        follows="speeds are withheld: times across it may be short by a picture",
        remedy=f"{_RECORDING}; if the motion is known to be whole there, trust the clip",
        withholds_speeds=True,
    )


def _places(n: int) -> str:
    return "one place" if n == 1 else f"{n} places"
