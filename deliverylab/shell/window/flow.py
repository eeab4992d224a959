"""Placing one landmark after the other: guesses on the stages, and what is said on the way."""

from __future__ import annotations

from functools import partial

from deliverylab.core.vocabulary.landmarks import role_for_key, role_name
from deliverylab.shell.drawing.guess_mark import GuessMark
from deliverylab.shell.flow_content import ALL_DONE, paused_text
from deliverylab.shell.project_files import ProjectFiles
from deliverylab.shell.session import SIDES, Session, Side
from deliverylab.shell.settings import Settings
from deliverylab.shell.window.intents import IntentWindow


class FlowWindow(IntentWindow):
    """Binds guesses and going on to the stages.

    It is made as `IntentWindow` is.
    """

    def __init__(
        self, session: Session, settings: Settings, files: ProjectFiles | None = None
    ) -> None:
        super().__init__(session, settings, files)
        for side, stage in self.stages.items():
            canvas = stage.canvas
            canvas.guess_moved.connect(partial(session.move_guess, side))
            canvas.guess_taken.connect(self.accept_guess)
            canvas.guess_dropped.connect(partial(session.let_guess_go, side))
            canvas.leading_stopped.connect(self._on_leading_stopped)
        session.guess_changed.connect(self._show_guess)
        session.next_landmark_changed.connect(self._on_asked_changed)
        session.frame_changed.connect(self._on_asked_changed)
        session.results_updated.connect(self._show_guesses)
        session.display_changed.connect(self._show_guesses)
        session.flow_changed.connect(self._on_flow_changed)
        session.flow_paused.connect(self._on_flow_paused)
        session.set_placing_order(settings.get("is_by_landmark"))
        session.set_going_on(settings.get("goes_on"))

    # -------------------------------------------------------------------------------- guesses

    def _show_guesses(self) -> None:
        for side in SIDES:
            self._show_guess(side)

    def _on_asked_changed(self, side: Side, _what: object) -> None:
        self._show_guess(side)

    def _show_guess(self, side: Side) -> None:
        """Draw where the landmark asked for may be; a mere place to begin only with the keys."""
        guess, is_held = self.session.guess(side), self.session.holds_guess(side)
        mark = None
        if guess is not None and (is_held or guess.source != "start"):
            mark = GuessMark(x_px=guess.x_px, y_px=guess.y_px, is_held=is_held)
        self.stages[side].canvas.set_guess(mark)

    def accept_guess(self) -> None:
        """Say that a landmark is where it stands or where the guess is; else go on."""
        if self._is_seen():
            self.session.accept_guess()

    def _is_seen(self) -> bool:
        """Return whether the exact picture is there: nobody confirms what is not seen yet."""
        canvas = self.stages[self.session.active_side].canvas
        if not canvas.is_exact:
            canvas.exact_requested.emit()
        return canvas.is_exact

    def accept_guesses(self) -> None:
        """Take all guesses of the shown frame."""
        if not self._is_seen():
            return
        n_taken = self.session.accept_guesses()
        if n_taken:
            counted = "1 guess is" if n_taken == 1 else f"{n_taken} guesses are"
            self.say(f"{counted} placed now: look at each.", "note", "Undo", self.session.undo)
        else:
            self.say("There is nothing to guess from: no other frame has these landmarks.")

    # ------------------------------------------------------------------------------- going on

    def go_to_next_place(self) -> None:
        """Show the next place that matters, and give it the keyboard."""
        if not self.session.next_place():
            self.say(ALL_DONE, "good")
        self._go_to_stage()

    def _on_leading_stopped(self) -> None:
        self.session.set_going_on(False)
        self.say(
            "The stage stays where it is now; P goes on.",
            "note",
            "Go on by itself again",
            partial(self.session.set_going_on, True),
        )

    def _on_flow_changed(self) -> None:
        session = self.session
        is_by_landmark = session.placing_order == "landmark"
        self.actions_by_key["by_landmark"].setChecked(is_by_landmark)
        self.actions_by_key["goes_on"].setChecked(session.goes_on)
        self.settings.put("is_by_landmark", is_by_landmark)
        self.settings.put("goes_on", session.goes_on)
        for stage in self.stages.values():
            stage.canvas.is_led = session.goes_on

    def _on_flow_paused(self, side: Side) -> None:
        text, button = paused_text(self.session, side)
        self.say(text, "good", button, self.go_to_next_place if button else None)

    # ----------------------------------------------------------------------------- wrong sides

    def swap_sides(self, where: str) -> None:
        """Exchange left and right of a landmark ``here``, or over the ``stretch`` from here."""
        session = self.session
        side = session.active_side
        key = session.current_landmark(side) or session.next_landmark(side)
        n_frames = session.swap_sides(where == "stretch")
        delivery = session.delivery(side)
        if not n_frames or delivery is None:
            self.say("There is no left and right to swap here: choose one of a pair first.")
            return
        name = role_name(role_for_key(key, delivery.athlete.hand))
        over = "in this frame" if n_frames == 1 else f"in {n_frames} frames"
        self.say(f"Swapped the {name} with the other side's, {over}.", "note", "Undo", session.undo)
