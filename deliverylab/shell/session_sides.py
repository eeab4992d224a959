"""Stretches in which only a person can tell the detector's left from its right."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from deliverylab.core.vocabulary.landmarks import role_for_key, role_name
from deliverylab.shell.session_detecting import SessionDetecting
from deliverylab.shell.session_state import Side

if TYPE_CHECKING:
    from deliverylab.core.tracking.pose_sides import SideQuestion


@dataclass(frozen=True, kw_only=True)
class AskedSides:
    """One question of left and right.

    Attributes
    ----------
    question : SideQuestion
        What the core asks.
    text : str
        The question in words.
    frame : int
        The frame in the middle of the stretch, in which it is shown.
    places : tuple of (name, x, y)
        What the detector calls what, frame px.
    n_all : int
        How many questions are open.
    """

    question: SideQuestion
    text: str
    frame: int
    places: tuple[tuple[str, float, float], ...]
    n_all: int


class SessionSides(SessionDetecting):
    """Answers and intents about left and right in what the detector found."""

    def asked_sides(self, side: Side) -> AskedSides | None:
        """Return the first open question of left and right on a stage's clip; None without."""
        delivery, found = self.delivery(side), self.detection(side)
        if delivery is None or found is None or not found.side_questions:
            return None
        from deliverylab.core.tracking.pose_landmarks import KEYS, pair_rows
        from deliverylab.core.workflow.detection import LIMB_TEXT

        asked = found.side_questions[0]
        inside = (found.frames >= asked.first_frame) & (found.frames <= asked.last_frame)
        numbers = inside.nonzero()[0]
        number = int(numbers[len(numbers) // 2])
        places = []
        for row in (rows[0] for rows in pair_rows(asked.limb)):
            x_px, y_px = found.poses.xy_px[number, row].tolist()
            name = role_name(role_for_key(KEYS[row], delivery.athlete.hand))
            places.append((name, x_px, y_px))
        return AskedSides(
            question=asked,
            text=(
                f"Frames {asked.first_frame} to {asked.last_frame}: are the {LIMB_TEXT[asked.limb]} on the right "
                "sides, as named on the stage?"
            ),
            frame=int(found.frames[number]),
            places=tuple(one for one in places if one[1] == one[1]),
            n_all=len(found.side_questions),
        )

    def answer_sides(self, side: Side, asked: AskedSides, is_swapped: bool) -> int:
        """Take a person's answer, and over what is believed now, in one step; return how many."""
        from deliverylab.core.workflow.detection import answered

        found = self.detection(side)
        name, camera = self._needs_camera(side)
        if found is None or asked.question not in found.side_questions:
            return 0
        delivery = self.project.delivery(name)
        new = answered(delivery, camera, found, asked.question, is_swapped)
        return self.take_detection(side, self.footage(side), new)
