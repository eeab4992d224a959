"""What is next, and how the window leads there with few clicks."""

from __future__ import annotations

from deliverylab.core.vocabulary.events import BY_KEY as EVENTS
from deliverylab.shell.project_files import ProjectFiles
from deliverylab.shell.session import Session, Side, other_side
from deliverylab.shell.settings import Settings
from deliverylab.shell.window.arranging import ArrangingWindow
from deliverylab.shell.window.causes import CausesWindow
from deliverylab.shell.window.coordinates import CoordinatesWindow
from deliverylab.shell.window.detecting import DetectingWindow
from deliverylab.shell.window.field import FieldWindow
from deliverylab.shell.window.flow import FlowWindow
from deliverylab.shell.window.leaving import LeavingWindow
from deliverylab.shell.window.packing import PackingWindow
from deliverylab.shell.window.planning import PlanningWindow
from deliverylab.shell.window.progress import ProgressWindow
from deliverylab.shell.window.speaking import SpeakingWindow
from deliverylab.shell.window.suggesting import SuggestingWindow
from deliverylab.shell.window.tracking import TrackingWindow
from deliverylab.shell.window.viewing import ViewingWindow
from deliverylab.shell.window.work_on import WorkOnWindow

KEY_EVENTS = tuple(event for event in EVENTS.values() if event.key_instant)


class Window(
    ArrangingWindow,
    DetectingWindow,
    TrackingWindow,
    PackingWindow,
    ProgressWindow,
    WorkOnWindow,
    PlanningWindow,
    ViewingWindow,
    LeavingWindow,
    CausesWindow,
    CoordinatesWindow,
    FieldWindow,
    SpeakingWindow,
    SuggestingWindow,
    FlowWindow,
):
    """The main window, which leads from step to step.

    It is made as `IntentWindow` is.
    """

    def __init__(
        self, session: Session, settings: Settings, files: ProjectFiles | None = None
    ) -> None:
        super().__init__(session, settings, files)
        self.checklist.step_chosen.connect(self.do_step)

    # ---------------------------------------------------------------------------- what is next

    def do_next(self) -> None:
        """Do the step that is next."""
        self.checklist.refresh()
        step = self.checklist.next_step
        if step:
            self.do_step(step)

    def do_step(self, step: str) -> None:
        """Go to where a step is done."""
        session = self.session
        if session.delivery("athlete") is None:
            self.add_clip()
            return
        if step != "page":
            self.centre.setCurrentWidget(self._work)
        react = {
            "clip": self.relink if session.lost_clips() else self.add_clip,
            "scale": self._set_scale_or_field,
            "events": lambda: self._find_events(self._side_without("events")),
            "landmarks": lambda: self._place_landmarks(self._side_without("landmarks")),
            "cameras": lambda: self._show_field_of(self._side_without("cameras")),
            "compare": self._compare,
            "plan": self.show_work_on,
            "page": self.show_page,
        }[step]
        react()

    def _side_without(self, step: str) -> Side:
        """Return the side on which a step is not done; the active one if it is done on both."""
        session = self.session
        for side in (session.active_side, other_side(session.active_side)):
            camera = session.camera(side)
            if camera is None:
                continue
            is_missing = {
                "scale": camera.scale is None,
                "events": any(one.key not in camera.marks for one in KEY_EVENTS),
                "landmarks": any(session.event_coverage(side).values()),
                "cameras": not session.cameras_are_solved(side),
            }
            if is_missing[step]:
                return side
        return session.active_side

    def _set_scale_or_field(self) -> None:
        """Ask for the scale; of two clips the field gives both, and the solve."""
        side = self._side_without("scale")
        delivery, camera = self.session.delivery(side), self.session.camera(side)
        has_two = delivery is not None and len(delivery.cameras) > 1
        if has_two and camera is not None and camera.scale is None:
            self._show_field_of(side)
        else:
            self.set_scale(side)

    def _show_field_of(self, side: Side) -> None:
        self.session.activate(side)
        self.show_field()

    def _find_events(self, side: Side) -> None:
        session = self.session
        session.activate(side)
        self.stages[side].canvas.setFocus()
        camera, delivery = session.camera(side), session.delivery(side)
        if camera is None or delivery is None or self.offer_suggestions(side):
            return
        missing = [one for one in KEY_EVENTS if one.key not in camera.marks]
        if missing:
            event = missing[0]
            self.say(
                f"{delivery.name}: find {event.name}, {event.cue}. Keys , and . step by a frame.",
                "note",
                f"Mark {event.name} here",
                lambda: self._mark_and_go_on(side, event.key),
            )

    def _mark_and_go_on(self, side: Side, event: str) -> None:
        self.session.activate(side)
        self.mark_event(event)
        self._find_events(side)

    def _place_landmarks(self, side: Side) -> None:
        self.session.activate(side)
        self.offer_detector()
        if any(self.session.event_coverage(side).values()) and self.session.first_place(side):
            self.stages[side].canvas.setFocus()
        else:
            self._find_events(side)

    def _compare(self) -> None:
        if self.session.compared() is None:
            self.top_bar.choose_partner()
        else:
            self.show_numbers("differences")
