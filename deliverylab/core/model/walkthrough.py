"""The script of a clip that walks through two deliveries side by side."""

from __future__ import annotations

import math
from typing import Literal

import msgspec

from deliverylab.core.errors import InputValueError

DrawingKind = Literal["arrow", "line", "arc", "circle", "freehand"]
StageSide = Literal["athlete", "model"]
LONGEST_PAUSE_S = 60.0
SLOWEST, FASTEST = 0.02, 2.0


class Drawing(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Something drawn by hand over one of the two pictures while it stands still.

    Attributes
    ----------
    side : {"athlete", "model"}
        On whose picture.
    kind : str
        ``arrow`` and ``line`` from the first point to the second; ``arc`` of the angle at the second
        of three points; ``circle`` around the first point through the second; ``freehand`` through
        all points.
    points_px : tuple of (float, float)
        Pixels of the upright frame of that delivery's camera.
    """

    side: StageSide
    kind: DrawingKind
    points_px: tuple[tuple[float, float], ...]

    def __post_init__(self) -> None:
        """Refuse too few points.

        Raises
        ------
        InputValueError
            Another number of points than the kind needs, or one that is not finite.
        """
        n_needed = {"arc": 3}.get(self.kind, 2)
        n_points = len(self.points_px)
        if n_points < n_needed or (self.kind != "freehand" and n_points != n_needed):
            raise InputValueError(f"the {self.kind} of a drawing needs {n_needed} points")
        if not all(math.isfinite(number) for point in self.points_px for number in point):
            raise InputValueError(f"the {self.kind} of a drawing has a point that is nowhere")


class Stop(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """An instant at which the clip stands still.

    Attributes
    ----------
    event : str
        Event at which both stand still; empty where `phase` says it.
    phase : float or None
        Phase in percent, for an instant without an event.
    pause_s : float
        How long, seconds.
    caption : str
        What is written below.
    metrics : tuple of (str, str) or None
        Metric and event of the numbers that are shown; None takes those of this event that differ
        most, an empty tuple none.
    drawings : tuple of Drawing
        By hand.
    """

    event: str = ""
    phase: float | None = None
    pause_s: float = 3.0
    caption: str = ""
    metrics: tuple[tuple[str, str], ...] | None = None
    drawings: tuple[Drawing, ...] = ()

    def __post_init__(self) -> None:
        """Refuse a stop nowhere, or without end.

        Raises
        ------
        InputValueError
            Neither event nor phase, or a pause outside 0 to 60 s.
        """
        if bool(self.event) == (self.phase is not None):
            raise InputValueError("a stop is at an event or at a phase, one of the two")
        if self.phase is not None and not math.isfinite(self.phase):
            raise InputValueError("a stop's phase is a number, in percent")
        if not 0.0 <= self.pause_s <= LONGEST_PAUSE_S:
            raise InputValueError(
                f"a pause of {self.pause_s:g} s is not possible",
                where=self.event or f"phase {self.phase:g} %",
                remedy=f"give it in seconds, 0 to {LONGEST_PAUSE_S:g}",
            )


class Walkthrough(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The script: where both deliveries stand still, how fast they run between, and a voice.

    Attributes
    ----------
    pair : tuple of str
        Names of the athlete's and the model delivery.
    stops : tuple of Stop
        In the order in which they are shown: an instant may come twice, and earlier ones after later.
    speed : float
        Share of real time at which the movement runs: 0.25 is four times slow.
    voice : str
        Path of a sound file laid under it, relative to the project where possible; empty without.
    voice_offset_s : float
        When the voice begins, seconds of the finished clip.
    """

    pair: tuple[str, str]
    stops: tuple[Stop, ...] = ()
    speed: float = 0.25
    voice: str = ""
    voice_offset_s: float = 0.0

    def __post_init__(self) -> None:
        """Refuse speeds nobody can follow.

        Raises
        ------
        InputValueError
            Speed outside 0.02 to 2, or a voice that begins before the clip.
        """
        if not SLOWEST <= self.speed <= FASTEST:
            raise InputValueError(
                f"the speed cannot be {self.speed:g}",
                remedy=f"1 is real time; give {SLOWEST:g} to {FASTEST:g}",
            )
        if not (math.isfinite(self.voice_offset_s) and self.voice_offset_s >= 0.0):
            raise InputValueError("a voice begins at 0 s or later")
