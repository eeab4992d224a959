"""Stretches of a clip in which a followed landmark is not vouched for, and why, in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

HIDDEN = "hidden"
NO_ANCHOR = "no anchor"
BESIDE = "beside"
LOST_TEXT: dict[str, str] = {
    HIDDEN: "it was said to be hidden there",
    NO_ANCHOR: "nothing is placed to start from",
    BESIDE: "it lies before the first or after the last place that is known",
    "no picture": "the picture cannot be read",
    "far": "too far from the next place that is known",
    "faint": "the picture shows too little to hold on to",
    "covered": "it looks unlike itself there, as if something were in front of it",
    "disagrees": "followed through the pictures, it does not come out at the next known place",
}
"""Why a landmark is not vouched for, in words, by the reason's key."""


@dataclass(frozen=True, kw_only=True)
class LostStretch:
    """Frames in a row in which a landmark is not vouched for.

    Attributes
    ----------
    landmark : str
        Key.
    first_frame, last_frame : int
        Both included.
    reason : str
        A key of `LOST_TEXT`.
    """

    landmark: str
    first_frame: int
    last_frame: int
    reason: str

    @property
    def n_frames(self) -> int:
        """How many frames it is long, repeats included."""
        return self.last_frame - self.first_frame + 1

    @property
    def text(self) -> str:
        """Why, in words."""
        return LOST_TEXT.get(self.reason, self.reason)


def beside(reason: str, frame: int, known: set[int]) -> str:
    """Return a reason, or that a frame lies beside all known places, where nothing else is to be said."""
    is_inside = not known or min(known) < frame < max(known)
    return reason if is_inside or not reason or reason == "no picture" else BESIDE


def stretches(key: str, reasons: dict[int, str], wanted: Sequence[int]) -> list[LostStretch]:
    """Return runs of frames, in the order of those wanted, that are lost for one reason."""
    stretches: list[LostStretch] = []
    runs = groupby(wanted, key=lambda frame: reasons.get(frame, ""))
    for reason, run in runs:
        at = list(run)
        if reason:
            stretches.append(
                LostStretch(landmark=key, first_frame=at[0], last_frame=at[-1], reason=reason)
            )
    return stretches
