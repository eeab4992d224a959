"""The script of the pair's walkthrough: what it is now, and what it shows."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from deliverylab.core.errors import DeliveryLabError, UsageError
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.walkthrough import Walkthrough
from deliverylab.shell.session_answers import are_the_same
from deliverylab.shell.session_plan import SessionPlan
from deliverylab.shell.session_state import SIDES

if TYPE_CHECKING:
    from deliverylab.core.compare.chain import Chain
    from deliverylab.core.compare.verdict import Difference
    from deliverylab.core.compare.walkthrough_plan import FrameCue, Walked


class SessionWalkScript(SessionPlan):
    """Answers about the walkthrough of the two deliveries that are compared.

    As long as nobody edited it, the script is the one that the measurements suggest, and follows
    them; the first edit keeps it in the project.
    """

    def __init__(self, parent: QObject | None = None) -> None:
        self._suggested_script: tuple[tuple[object, ...], Walkthrough] | None = None
        self._walked: tuple[tuple[object, ...], Walked] | None = None
        super().__init__(parent)

    def walk_deliveries(self) -> tuple[Delivery, Delivery]:
        """Return the two deliveries that a walkthrough shows.

        Raises
        ------
        UsageError
            There is no partner.
        """
        athlete, model = self.delivery("athlete"), self.partner()
        if athlete is None or model is None:
            raise UsageError(
                "a walkthrough needs two deliveries",
                remedy="choose the one to compare with above the stages",
            )
        return athlete, model

    @property
    def has_own_script(self) -> bool:
        """Whether somebody edited the pair's script."""
        try:
            athlete, model = self.walk_deliveries()
        except UsageError:
            return False
        return self.record.walkthrough((athlete.name, model.name)) is not None

    def script(self) -> Walkthrough:
        """Return the pair's script: the edited one, else the one that is suggested.

        Raises
        ------
        UsageError
            There is no partner, or no key event that both know.
        """
        athlete, model = self.walk_deliveries()
        kept = self.record.walkthrough((athlete.name, model.name))
        return kept if kept is not None else self.suggested_script()

    def suggested_script(self) -> Walkthrough:
        """Return the script that the measurements suggest now.

        Raises
        ------
        UsageError
            There is no partner, or no key event that both know.
        """
        athlete, model = self.walk_deliveries()
        found, chain = self.differences(), self._told_chain()
        rests_on = (athlete, model, found, chain)
        kept = self._suggested_script
        if kept is None or not are_the_same(kept[0], rests_on):
            from deliverylab.core.workflow.walkthrough_script import default_script

            pair = (athlete.name, model.name)
            kept = (rests_on, default_script(self.record, pair, found, chain))
            self._suggested_script = kept
        return kept[1]

    def _told_chain(self) -> Chain | None:
        """Return what started what; None where the own library, which says more, is damaged."""
        try:
            return self.chain()
        except DeliveryLabError:
            return None

    def walked(self) -> Walked:
        """Return which clips the walkthrough shows, and how their times go together.

        Raises
        ------
        UsageError
            There is no partner, or too few events are marked in both.
        """
        rests_on = self.walk_deliveries()
        if self._walked is None or not are_the_same(self._walked[0], rests_on):
            from deliverylab.core.compare.walkthrough_plan import walked

            self._walked = (rests_on, walked(*rests_on))
        return self._walked[1]

    def walk_cues(self) -> tuple[FrameCue, ...]:
        """Return what each picture of the clip shows, 30 a second.

        Raises
        ------
        UsageError
            There is no script, or it stops at an event that is not marked.
        """
        from deliverylab.core.compare.walkthrough_plan import cues_of

        return cues_of(self.script(), self.walked())

    def suggested_caption(self, index: int) -> str:
        """Return what the measurements suggest to say at a stop; empty without its event."""
        event = self.script().stops[index].event
        stops = self.suggested_script().stops
        return next((stop.caption for stop in stops if event and stop.event == event), "")

    def stop_differences(self, index: int) -> tuple[Difference, ...]:
        """Return the differences whose numbers may stand at a stop, the clearest first."""
        from deliverylab.core.report.walkthrough_words import differences_at

        stop, found = self.script().stops[index], self.differences()
        if stop.event:
            return differences_at(stop.event, found)
        ranked = (one for one in found if one.rank is not None)
        return tuple(sorted(ranked, key=lambda one: one.rank or 0))

    def stop_numbers(self, index: int) -> tuple[tuple[str, str], ...]:
        """Return metric and event of the numbers that the clip shows at a stop."""
        from deliverylab.core.report.walkthrough_words import shown_differences

        return tuple(
            (one.metric, one.event)
            for one in shown_differences(self.script().stops[index], self.differences())
        )

    def stop_frames(self, index: int) -> tuple[int, int]:
        """Return the frames of both clips at a stop.

        Raises
        ------
        UsageError
            It is at an event that is not marked.
        """
        pair = self.walked()
        stop = self.script().stops[index]
        frames = [
            min(max(camera.timing.frame_at(time_s), camera.first_frame), camera.end_frame)
            for camera, time_s in zip(
                (pair.camera_a, pair.camera_b), pair.instant(stop), strict=True
            )
        ]
        return frames[0], frames[1]

    def is_stop_shown(self, index: int) -> bool:
        """Return whether both stages show the pictures of a stop."""
        try:
            pair, frames = self.walked(), self.stop_frames(index)
        except (DeliveryLabError, IndexError):
            return False
        wanted = (
            (pair.a.name, pair.camera_a.name, frames[0]),
            (pair.b.name, pair.camera_b.name, frames[1]),
        )
        states = (self._sides[side] for side in SIDES)
        return tuple((one.delivery, one.camera, one.frame) for one in states) == wanted

    def voice_path(self) -> Path | None:
        """Return where the script's voice lies; None without one."""
        from deliverylab.core.workflow.walkthrough import voice_path

        return voice_path(self.script(), self.path)
