"""Which end of a limb is nearer to the camera: asked where one view could give an estimate."""

from __future__ import annotations

from typing import NamedTuple

from deliverylab.core.model.delivery import DepthChoice
from deliverylab.shell.session_placing import SessionPlacing
from deliverylab.shell.session_state import Side


class DepthQuestion(NamedTuple):
    """One limb at one event, of which a person can tell which end is nearer.

    Attributes
    ----------
    event, event_name, limb, limb_name : str
    ends : tuple of (str, DepthChoice)
        What the two answers say and mean, the end next to the trunk first.
    choice : DepthChoice or None
        What was said.
    """

    event: str
    event_name: str
    limb: str
    limb_name: str
    ends: tuple[tuple[str, DepthChoice], ...]
    choice: DepthChoice | None


class SessionDepth(SessionPlacing):
    """Answers and intents about how limbs point out of the picture."""

    def depth_questions(self, side: Side) -> tuple[DepthQuestion, ...]:
        """Return what can be asked of a stage's clip; nothing where the arm is measured."""
        from deliverylab.core.metrics.lifted_results import LIFTED, liftable_events
        from deliverylab.core.metrics.sight import Sight
        from deliverylab.core.vocabulary.events import event as event_entry
        from deliverylab.core.vocabulary.segments import LIFTED_LIMBS

        delivery, camera = self.delivery(side), self.camera(side)
        if delivery is None or camera is None:
            return ()
        measured = {
            one.event
            for one in self.results(side)
            if one.status == "measured" and (one.metric, one.event) in LIFTED
        }
        return tuple(
            DepthQuestion(
                event,
                event_entry(event).name,
                limb.key,
                limb.name,
                ((limb.nearer_end("farther"), "farther"), (limb.nearer_end("nearer"), "nearer")),
                camera.depth_choices.get(event, {}).get(limb.key),
            )
            for event in liftable_events(Sight(delivery, camera))
            if event not in measured
            for limb in LIFTED_LIMBS
        )

    def tell_depth(self, side: Side, event: str, limb: str, choice: DepthChoice | None) -> None:
        """Say which way a limb points at an event in a stage's clip, or take it back.

        Raises
        ------
        DeliveryLabError
            No clip there.
        """
        from deliverylab.core.model.depth_changes import SetDepthChoice

        owner, camera = self._needs_camera(side)
        self._do(
            SetDepthChoice(
                delivery=owner, camera=camera.name, event=event, limb=limb, choice=choice
            )
        )
