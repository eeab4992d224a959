"""Edits of a clip's time: capture rate, repaired axis, doubts, rolling shutter."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

import msgspec

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.changes import replace_value
from deliverylab.core.model.project import Project
from deliverylab.core.model.timing import Timing

LONGEST_READ_OUT_S = 0.1
"""No picture takes longer from its first row to its last; the slowest phones printed need 0.06 s."""
replace = msgspec.structs.replace


@dataclass(frozen=True, kw_only=True)
class SetTiming:
    """Set a camera's timing: the rate it captured at, a repair, what is doubted."""

    delivery: str
    camera: str
    timing: Timing
    what: str = "Set the clip's time"
    touches: ClassVar[frozenset[str]] = frozenset({"deliveries"})

    @property
    def label(self) -> str:
        """What undo says."""
        return self.what

    @property
    def key(self) -> tuple[str, ...]:
        """One camera."""
        return ("timing", self.delivery, self.camera)

    def apply(self, project: Project) -> SetTiming:
        """Set the timing, which must have as many frames as before."""
        camera = project.camera(self.delivery, self.camera)
        if self.timing.n_frames != camera.timing.n_frames:
            raise InputValueError(
                "the timing is of another clip",
                where=f"{self.timing.n_frames} frames instead of {camera.timing.n_frames}",
            )
        project.replace_camera(self.delivery, replace(camera, timing=self.timing))
        return replace_value(self, timing=camera.timing)


@dataclass(frozen=True, kw_only=True)
class SetRowTime:
    """Set the rolling shutter: real seconds from one row to the next, and its u; 0 turns it off."""

    delivery: str
    camera: str
    row_time_s: float
    u_row_time_s: float = 0.0
    label: ClassVar[str] = "Set the rolling shutter"
    touches: ClassVar[frozenset[str]] = frozenset({"deliveries"})

    @property
    def key(self) -> tuple[str, ...]:
        """One camera."""
        return ("row time", self.delivery, self.camera)

    def apply(self, project: Project) -> SetRowTime:
        """Set both, where a camera can read its picture out so slowly."""
        camera = project.camera(self.delivery, self.camera)
        read_out_s = self.row_time_s * camera.height_px
        if not (math.isfinite(read_out_s) and abs(read_out_s) <= LONGEST_READ_OUT_S):
            raise InputValueError(
                "no camera reads a picture out so slowly",
                where=f"{1000.0 * read_out_s:g} ms",
                remedy=f"give at most {1000.0 * LONGEST_READ_OUT_S:g} ms from the first row to the last",
            )
        if not 0.0 <= self.u_row_time_s < math.inf:
            raise InputValueError("an uncertainty cannot be negative", where="rolling shutter")
        changed = replace(camera, row_time_s=self.row_time_s, u_row_time_s=self.u_row_time_s)
        project.replace_camera(self.delivery, changed)
        return replace_value(self, row_time_s=camera.row_time_s, u_row_time_s=camera.u_row_time_s)
