"""Placing landmarks one after the other: what is asked for next, guesses, and going on by itself."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from PySide6.QtCore import QObject, Signal

from deliverylab.core.model.delivery import Camera
from deliverylab.core.vocabulary.events import EVENT_KEYS
from deliverylab.shell.session_answers import are_the_same
from deliverylab.shell.session_state import SIDES, Side, placing_keys
from deliverylab.shell.session_views import SessionViews

if TYPE_CHECKING:
    from collections.abc import Sequence

    from deliverylab.core.workflow.placing_guess import Guess
    from deliverylab.core.workflow.placing_left import Need
    from deliverylab.core.workflow.placing_plan import Ask, PlacingOrder, PlacingPlan


class _Dealt(NamedTuple):
    """A landmark in a frame of a clip that was placed in the flow."""

    delivery: str
    camera: str
    ask: Ask


class _Asked(NamedTuple):
    """What is asked for in a frame, and what that was found from."""

    plan: PlacingPlan
    frame: int
    start: str
    skipped: frozenset[str]
    landmark: str


class SessionFlow(SessionViews):
    """Answers and intents about the order in which landmarks are placed.

    Attributes
    ----------
    placing_order : {"frame", "landmark"}
        Whether a frame's landmarks are asked for one after the other, or one landmark through the
        frames that matter.
    goes_on : bool
        Whether the stage goes by itself to where the next one is to be placed.

    Signals
    -------
    flow_changed()
        The order, or whether it goes on by itself, is another.
    guess_changed(str)
        The guess on this stage was moved, taken in hand or let go.
    flow_paused(str)
        On this stage nothing as urgent is left to place.
    """

    flow_changed = Signal()
    guess_changed = Signal(str)
    flow_paused = Signal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        self.placing_order: PlacingOrder = "frame"
        self.goes_on = True
        self._plans: dict[Side, tuple[tuple[object, ...], PlacingPlan]] = {}
        self._lacking: dict[Side, tuple[PlacingPlan, tuple[object, ...], tuple[Need, ...]]] = {}
        self._asked: dict[Side, _Asked] = {}
        self._followed: dict[Side, str] = {}
        self._passed: set[_Dealt] = set()
        self._trail: list[_Dealt] = []
        self._with_keys: set[Side] = set()
        self._led_to: dict[Side, int] = {}
        self._paused: set[Side] = set()
        self._moved_guesses: dict[Side, tuple[tuple[int, str], Guess]] = {}
        super().__init__(parent)

    # ------------------------------------------------------------------------------- questions

    def plan(self, side: Side) -> PlacingPlan | None:
        """Return what is to be placed in a stage's clip; None where there is none."""
        delivery, camera = self.delivery(side), self.camera(side)
        if delivery is None or camera is None:
            return None
        # the frames of a track stay the same object while its positions are only moved
        rests_on = (
            delivery.athlete, camera.view, camera.timing, camera.marks, camera.occluded,
            camera.first_frame, camera.last_frame, len(delivery.cameras),
            *(camera.track(key).frames for key in placing_keys(delivery.athlete.hand)),
        )  # fmt: skip
        kept = self._plans.get(side)
        if kept is None or not are_the_same(kept[0], rests_on):
            from deliverylab.core.workflow.placing_plan import placing_plan

            kept = (rests_on, placing_plan(delivery, camera))
            self._plans[side] = kept
        return kept[1]

    def needs(self, side: Side) -> tuple[Need, ...]:
        """Return what results of a stage's clip still lack, the nearest first."""
        plan, delivery, camera = self.plan(side), self.delivery(side), self.camera(side)
        if plan is None or delivery is None or camera is None:
            return ()
        rests_on = (camera.scale,)
        kept = self._lacking.get(side)
        if kept is None or kept[0] is not plan or not are_the_same(kept[1], rests_on):
            from deliverylab.core.workflow.placing_left import needed

            kept = (plan, rests_on, needed(delivery, camera))
            self._lacking[side] = kept
        return kept[2]

    def next_landmark(self, side: Side) -> str:
        """Return the landmark asked for next in the shown frame, or empty when none is left.

        What results need at an event comes first, from the place in the guided order where the hand
        is; in the order of landmarks the same one as in the frame before.
        """
        plan, camera, state = self.plan(side), self.camera(side), self._sides[side]
        if plan is None or camera is None or state.chosen:
            return state.chosen
        start = plan.landmarks[state.after]
        if self.placing_order == "landmark":
            start = self._followed.get(side, start)
        known = self._asked.get(side)
        if known is None or known[:-1] != (plan, state.frame, start, state.skipped):
            key = self._found_next(side, plan, camera, start)
            known = _Asked(plan, state.frame, start, state.skipped, key)
            self._asked[side] = known
        return known.landmark

    def _found_next(self, side: Side, plan: PlacingPlan, camera: Camera, start: str) -> str:
        from deliverylab.core.workflow.placing_plan import is_settled

        state = self._sides[side]
        missing = [
            key
            for key in plan.landmarks
            if key not in state.skipped and not is_settled(camera, key, state.frame)
        ]
        if self.placing_order == "landmark" and start in missing:
            return start
        return plan.next_in_frame(missing, state.frame, start)

    def event_coverage(self, side: Side) -> dict[str, int]:
        """Return how many landmarks results still need at each event of a stage's clip."""
        plan = self.plan(side)
        stops = () if plan is None else plan.stops
        missing = {stop.event: len(stop.missing) for stop in stops if stop.purpose == "results"}
        return {event: missing[event] for event in EVENT_KEYS if event in missing}

    # -------------------------------------------------------------------------------- going on

    def set_placing_order(self, is_by_landmark: bool) -> None:
        """Ask for one landmark through the frames that matter, or frame by frame."""
        self.placing_order = "landmark" if is_by_landmark else "frame"
        for side in SIDES:
            self._followed[side] = self.next_landmark(side)
        self.flow_changed.emit()
        self._announce_landmarks()

    def set_going_on(self, is_going_on: bool) -> None:
        """Let the stage go by itself to what is placed next, or stay."""
        self.goes_on = is_going_on
        self.flow_changed.emit()

    def next_place(self) -> bool:
        """Go to the next place that matters on the active stage; return whether there is one.

        What was passed over is asked for again.  Where all is placed, the tracked position with the
        largest u is shown, to be looked at.
        """
        side = self.active_side
        plan, camera, state = self.plan(side), self.camera(side), self._sides[side]
        if plan is None or camera is None:
            return False
        self._passed.clear()
        if side in self._paused:
            return self.first_place(side)
        asked = self.next_landmark(side)
        following = None
        if self.placing_order == "landmark" and asked in plan.landmarks:
            following = plan.after(_ask(state.frame, asked), "landmark")
        following = following or plan.place_after(state.frame)
        if following is not None:
            self._arrive(side, following, with_keys=True)
            return True
        from deliverylab.core.workflow.placing_frames import least_sure

        unsure = least_sure(camera, plan.landmarks)
        if unsure is not None and not asked:
            self.show_frame(side, unsure[0])
            state.current = unsure[1]
            self._announce_landmarks()
        return unsure is not None or bool(asked)

    def first_place(self, side: Side) -> bool:
        """Go to the most urgent place of a stage; return whether there is one."""
        plan = self.plan(side)
        if plan is None or not plan.asks:
            return False
        self._arrive(side, plan.asks[0], with_keys=True)
        return True

    def _dealt_with(self, side: Side, landmark: str, *, is_passed: bool = False) -> None:
        """Go on from a landmark that was placed, hidden or passed over in the shown frame."""
        plan, camera, state = self.plan(side), self.camera(side), self._sides[side]
        if plan is None or camera is None or landmark not in plan.landmarks:
            return
        ask = _ask(state.frame, landmark)
        dealt = _Dealt(state.delivery or "", camera.name, ask)
        self._followed[side] = landmark
        if is_passed:
            self._passed.add(dealt)
        elif camera.track(landmark).at(state.frame) is not None:
            self._trail.append(dealt)
        # a frame that somebody chose off the plan is finished before others
        is_led = self._led_to.get(side) == state.frame or plan.has_results(state.frame)
        if not self.goes_on or (not is_led and self.next_landmark(side)):
            return
        passed = [one.ask for one in self._passed if one[:2] == dealt[:2]]
        following = plan.after(ask, self.placing_order, passed)
        if following is None:
            self._paused.add(side)
            self.flow_paused.emit(side)
        elif following.frame != state.frame or self.placing_order == "landmark":
            with_keys = side in self._with_keys
            self._arrive(side, following, passed, with_keys=with_keys)

    def _arrive(self, side: Side, ask: Ask, passed: Sequence[Ask] = (), *, with_keys: bool) -> None:
        """Show a frame and ask for a landmark there."""
        self.activate(side)
        self._paused.discard(side)
        self.show_frame(side, ask.frame)
        state = self._sides[side]
        state.skipped = frozenset(one.landmark for one in passed if one.frame == ask.frame)
        self._followed[side] = ask.landmark
        self._led_to[side] = ask.frame
        if with_keys:
            self._with_keys.add(side)
        if self.next_landmark(side) != ask.landmark:
            state.chosen = ask.landmark
        self._announce_landmarks()
        self.guess_changed.emit(side)

    def _show(self, side: Side, camera: Camera, frame: int) -> None:
        if frame != self._sides[side].frame:
            self._with_keys.discard(side)
            self._moved_guesses.pop(side, None)
            self._paused.discard(side)
        super()._show(side, camera, frame)


def _ask(frame: int, landmark: str) -> Ask:
    from deliverylab.core.workflow.placing_plan import Ask

    return Ask(frame, landmark)
