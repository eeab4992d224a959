"""Look a clip over before it is used: its true spacing, repeats, and what to ask the user."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from deliverylab.core.video.duplicates import frame_changes, repeats_among_motion
from deliverylab.core.video.findings import (
    AxisRepair,
    ClipFinding,
    picture_findings,
    stamp_findings,
)
from deliverylab.core.video.index import ClipIndex, build_index

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from numpy.typing import NDArray

# Cameras state their capture rate to within a few per cent of the stored one if it is real time.
_SLOW_MOTION_FACTOR = 1.5
# A rate that changes by this factor within a clip is what edited slow motion leaves behind.
_RAMP_FACTOR = 2.5
_RAMP_FRAMES = 5
_GAP_FACTOR = 1.5
# Own simulation: peak speeds of the pelvis need about 120 frames per second of real time.
_LOW_RATE_HZ = 100.0


@dataclass(frozen=True, eq=False)
class ProbeReport:
    """Say what a clip is and what to beware of.

    Attributes
    ----------
    index : ClipIndex
        Its frames and stream facts.
    stored_rate_hz : float
        Frames per second of the clip's own clock; NaN for a single frame.
    spacing_min_s, spacing_median_s, spacing_max_s : float, s
        Times between neighbouring frames; NaN for a single frame.
    duplicate_frames : tuple of int or None
        Frames that repeat the one before; None if not looked for.
    undecodable_frames : tuple of int or None
        Frames listed in the file that cannot be shown; None if not looked for.
    is_variable_rate : bool
        Whether the spacings differ by more than 1 % and one tick of the clock.
    suspects_slow_motion : bool
        Whether the file itself gives away that it plays slower than life.  Many slow-motion files
        do not; an implausible time from foot contact to release shows those later.
    notes : tuple of str
        All of this in plain words for the user.
    n_compared : int
        Frames that were looked at for repeats.
    findings : tuple of ClipFinding
        What was done to the clip's time.
    repair : AxisRepair or None
        The time axis repaired, where that is certain and needed.
    remarks : tuple of str
        Those of the notes that no finding says: about the file, its rate, damaged frames.
    """

    index: ClipIndex
    stored_rate_hz: float
    spacing_min_s: float
    spacing_median_s: float
    spacing_max_s: float
    duplicate_frames: tuple[int, ...] | None
    undecodable_frames: tuple[int, ...] | None
    is_variable_rate: bool
    suspects_slow_motion: bool
    notes: tuple[str, ...]
    n_compared: int = 0
    findings: tuple[ClipFinding, ...] = ()
    repair: AxisRepair | None = None
    remarks: tuple[str, ...] = ()

    @property
    def n_duplicates(self) -> int | None:
        """Return the number of repeated frames; None if not looked for."""
        return None if self.duplicate_frames is None else len(self.duplicate_frames)

    @property
    def distinct_rate_hz(self) -> float:
        """Return the stored rate without the repeats: pictures that show something new, Hz."""
        return self.stored_rate_hz * (1 - (self.n_duplicates or 0) / max(1, self.n_compared))

    def with_duplicates(
        self, frames: tuple[int, ...], n_compared: int, undecodable: tuple[int, ...] = ()
    ) -> ProbeReport:
        """Return the report with repeats that were found elsewhere, in words too.

        Parameters
        ----------
        frames : tuple of int
            Frames that repeat the one before.
        n_compared : int
            Frames that were looked at.
        undecodable : tuple of int
            Frames that cannot be shown.
        """
        report = replace(
            self, duplicate_frames=frames, undecodable_frames=undecodable, n_compared=n_compared
        )
        return replace(report, notes=(*self.notes, *_picture_notes(report)))


def probe(
    path: str | Path,
    *,
    look_for_duplicates: bool = True,
    progress: Callable[[float], bool | None] | None = None,
) -> ProbeReport:
    """Look a clip over.

    Parameters
    ----------
    path : str or pathlib.Path
        A video file.
    look_for_duplicates : bool
        Decode every frame to find repeats and damage; takes as long as decoding the clip does.
    progress : callable, optional
        Called with the part done, 0 to 1; returning False stops that search, and the report then
        comes without it.

    Returns
    -------
    ProbeReport
        The findings.

    Raises
    ------
    ClipError
        The clip cannot be read.
    """
    index = build_index(path)
    found = frame_changes(index, progress) if look_for_duplicates else None
    spacings = np.diff(index.times_s) if index.n_frames > 1 else np.array([np.nan])
    ramp = _ramp_factor(spacings)
    stated = index.stated_capture_rate_hz
    is_slowed = stated is not None and stated > _SLOW_MOTION_FACTOR * index.nominal_rate_hz
    report = ProbeReport(
        index=index,
        stored_rate_hz=index.nominal_rate_hz,
        spacing_min_s=float(spacings.min()),
        spacing_median_s=float(np.median(spacings)),
        spacing_max_s=float(spacings.max()),
        duplicate_frames=None,
        undecodable_frames=None,
        is_variable_rate=not index.is_uniform,
        suspects_slow_motion=is_slowed or ramp >= _RAMP_FACTOR,
        notes=index.notes,
        findings=stamp_findings(index.times_s, is_variable=not index.is_uniform),
    )
    remarks = (*index.notes, *_speed_notes(report, ramp))
    if index.n_frames < 2:
        remarks += tuple(_rate_notes(report))
    notes = (*index.notes, *_rate_notes(report), *_speed_notes(report, ramp))
    report = replace(report, notes=notes, remarks=remarks)
    if found is None:
        return report
    repeats = repeats_among_motion(found)
    report = report.with_duplicates(repeats, index.n_frames, found.undecodable_frames)
    findings, repair = picture_findings(index.times_s, found, repeats)
    told = [f"{f.what}: {f.follows}." for f in findings if f.withholds_speeds]
    if repair is not None:
        told.append(f"the time axis is repaired: {repair.note}.")
    return replace(
        report,
        findings=(*report.findings, *findings),
        repair=repair,
        remarks=(*remarks, *_damage_notes(report)),
        notes=(*report.notes, *(text[0].upper() + text[1:] for text in told)),
    )


def _ramp_factor(spacings: NDArray[np.float64]) -> float:
    """Return the ratio of the slowest to the fastest lasting rate within the clip."""
    if len(spacings) < 2 * _RAMP_FRAMES:
        return 1.0
    windows = np.lib.stride_tricks.sliding_window_view(spacings, _RAMP_FRAMES)
    return float(max(1.0, windows.min(axis=1).max() / windows.max(axis=1).min()))


def _rate_notes(report: ProbeReport) -> list[str]:
    index = report.index
    if index.n_frames < 2:
        return ["It holds a single picture: positions can be measured, times and speeds cannot."]
    notes = []
    if report.is_variable_rate:
        notes.append(
            f"The time between frames varies from {1000 * report.spacing_min_s:.1f} to "
            f"{1000 * report.spacing_max_s:.1f} ms; each frame's own time is used."
        )
    gaps = np.flatnonzero(np.diff(index.times_s) > _GAP_FACTOR * report.spacing_median_s)
    if len(gaps):
        longest = int(np.argmax(np.diff(index.times_s)))
        where = "one place" if len(gaps) == 1 else f"{len(gaps)} places"
        notes.append(
            f"Frames seem to be missing in {where}, the longest gap "
            f"({1000 * report.spacing_max_s:.0f} ms) after frame {longest}."
        )
    return notes


def _speed_notes(report: ProbeReport, ramp: float) -> list[str]:
    stated, stored_hz = report.index.stated_capture_rate_hz, report.stored_rate_hz
    if stated is not None and report.suspects_slow_motion:
        text = (
            f"The camera recorded {stated:.0f} frames per second and stored them as "
            f"{stored_hz:.0f}: it is slow motion. Set the capture rate to {stated:.0f}."
        )
        return [text]
    if ramp >= _RAMP_FACTOR:
        text = (
            f"The frame rate changes by a factor of {ramp:.1f} within the clip, as in edited slow "
            "motion. Use the unedited recording, or trim to the part with one rate."
        )
        return [text]
    if stored_hz < _LOW_RATE_HZ:
        text = (
            f"It is stored at {stored_hz:.0f} frames per second. If it was filmed in slow motion, "
            "set the true capture rate; if not, peak speeds are out of reach."
        )
        return [text]
    return []


def _picture_notes(report: ProbeReport) -> list[str]:
    notes = []
    if report.duplicate_frames:
        notes.append(
            f"{report.n_duplicates} of {report.n_compared} frames repeat the one before: about "
            f"{report.distinct_rate_hz:.0f} new pictures per second, not "
            f"{report.stored_rate_hz:.0f}. Do not trust speeds before the true rate is set."
        )
    return notes + _damage_notes(report)


def _damage_notes(report: ProbeReport) -> list[str]:
    if not report.undecodable_frames:
        return []
    n_lost = len(report.undecodable_frames)
    noun = "frame is" if n_lost == 1 else "frames are"
    return [f"{n_lost} {noun} damaged and cannot be shown."]
