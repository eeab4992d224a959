"""How two clips' clocks go together: by the lines of sight, by event marks, by the solve.

The clocks' rates are taken as equal: quartz of phones parts by less than 50 parts in a million
(common data-sheet figure), which is 0.1 ms over the two seconds of a delivery, below what sight
lines tell of the offset.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from deliverylab.core.cameras.synchronise import SEARCH_S, OffsetCurve, find_offset
from deliverylab.core.errors import InputValueError
from deliverylab.core.metrics.space_places import pinhole
from deliverylab.core.model.project import Project
from deliverylab.core.workflow.space_clocks import ClockByMarks, filmed_body
from deliverylab.core.workflow.space_freshness import is_out_of_date
from deliverylab.core.workflow.space_set_up import field_of, field_size
from deliverylab.core.workflow.space_solve import solve
from deliverylab.core.workflow.space_sound import ClockBySound, clock_by_sound

if TYPE_CHECKING:
    from deliverylab.core.report.clock_plot import ClockDrawing


@dataclass(frozen=True, kw_only=True)
class ClockCurve:
    """How well one clip goes with the first over the shift of its clock.

    Attributes
    ----------
    camera, first : str
        The clip, and the one whose clock it is held against.
    curve : OffsetCurve
        Misses over shifts; its lowest point with u.
    solved_s, u_solved_s : float, s
        What the solve of all cameras has.
    marked : ClockByMarks or None
        What events marked in both clips say.
    heard : ClockBySound or None
        What a clap says, where both clips were listened to and hold one.
    """

    camera: str
    first: str
    curve: OffsetCurve
    solved_s: float
    u_solved_s: float
    marked: ClockByMarks | None
    heard: ClockBySound | None = None

    @property
    def e_n(self) -> float | None:
        """How marks agree with the solve, as `agreement`; None without marks."""
        return None if self.marked is None else self.agreement(self.marked)

    def agreement(self, other: ClockByMarks | ClockBySound) -> float:
        """Return E_n of another offset and the solve's: up to 1 they agree within both U.

        References
        ----------
        .. [1] ISO 13528:2022, 9.7 (E_n scores).
        """
        u_s = math.hypot(other.u_s, self.u_solved_s)
        return abs(other.offset_s - self.solved_s) / (2.0 * u_s)


def sync_curves(
    project: Project,
    delivery: str,
    *,
    listen_from: str | Path | None = None,
) -> tuple[ClockCurve, ...]:
    """Return the curve of each further clip of a delivery against the first.

    Cameras that are not solved, or were before the field changed, are solved for it; the project
    is not changed.

    Parameters
    ----------
    project : Project
    delivery : str
    listen_from : str or pathlib.Path, optional
        The project's file, from where clips are found: a clap in both is listened for.

    Raises
    ------
    NotFoundError, InputValueError, ClipError
        As for `solve`; the clips hold no shared movement to tell the offset by; a clip that is to
        be listened to cannot be opened.
    """
    asked = project.delivery(delivery)
    space = asked.space
    if space is None or is_out_of_date(project, asked) == "field":
        space = solve(project, delivery).solution
    names = [camera.name for camera in space.cameras]
    body = filmed_body(asked, names, field_size(field_of(project, asked)))
    if body.filmed is None:
        raise InputValueError(
            "the clips hold too few landmarks frame by frame to tell an offset by movement",
            where=f"{delivery}: {', '.join(names)}",
            remedy="track the landmarks over the delivery in both clips",
        )
    cameras = [pinhole(each) for each in space.cameras]
    curves = []
    for number, solved in enumerate(space.cameras[1:], start=1):
        pair = (cameras[0], cameras[number])
        curves.append(
            ClockCurve(
                camera=solved.name,
                first=names[0],
                curve=find_offset(pair, body.filmed, number, search_s=SEARCH_S),
                solved_s=solved.offset_s,
                u_solved_s=space.u_offset_s(solved.name),
                marked=body.marked[number - 1],
                heard=None
                if listen_from is None
                else clock_by_sound(asked, names[0], solved.name, listen_from),
            )
        )
    return tuple(curves)


def clock_drawing(delivery: str, found: ClockCurve) -> ClockDrawing:
    """Return a curve as it is drawn."""
    # what draws pages is slow to load, and only wanted here
    from deliverylab.core.report.clock_plot import ClockDrawing

    offsets = [("by the solve", found.solved_s, 2.0 * found.u_solved_s)]
    if found.marked is not None:
        offsets.append(("by event marks", found.marked.offset_s, 2.0 * found.marked.u_s))
    if found.heard is not None:
        offsets.append(("by a sharp sound", found.heard.offset_s, 2.0 * found.heard.u_s))
    curve = found.curve
    return ClockDrawing(
        delivery=delivery,
        camera=found.camera,
        first=found.first,
        curve=tuple(zip(curve.shifts_s.tolist(), curve.misses.tolist(), strict=True)),
        offsets=tuple(offsets),
    )
