"""A stage that shows where the landmark asked for may be, and lets keys move that."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QPointF, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from deliverylab.shell.drawing.guess_mark import GuessMark
from deliverylab.shell.drawing.hand_drawing import DrawingSurface
from deliverylab.shell.drawing.stage_scene import GUESS_KEYS, PLACING_KEYS

NUDGES = {
    Qt.Key.Key_Left: (-1.0, 0.0),
    Qt.Key.Key_Right: (1.0, 0.0),
    Qt.Key.Key_Up: (0.0, -1.0),
    Qt.Key.Key_Down: (0.0, 1.0),
}
SHIFTED = Qt.KeyboardModifier.ShiftModifier
FINE_KEYS = (
    Qt.KeyboardModifier.ControlModifier
    | Qt.KeyboardModifier.AltModifier
    | Qt.KeyboardModifier.MetaModifier
)


class GuessSurface(DrawingSurface):
    """Arrow keys move a guess that is in hand, else the current landmark or handle.

    Attributes
    ----------
    is_led : bool
        Whether the stage goes by itself from place to place, which Esc stops.

    Signals
    -------
    nudged(float, float)
        Wish to move the chosen landmark, frame px.
    guess_moved(float, float)
        Wish to move the guess, frame px.
    guess_taken()
        The landmark is where the guess is.
    guess_dropped()
        Arrow keys are wanted for something else.
    leading_stopped()
        Wish that the stage stays where it is.
    """

    nudged = Signal(float, float)
    guess_moved = Signal(float, float)
    guess_taken = Signal()
    guess_dropped = Signal()
    leading_stopped = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.is_led = False
        # the hand that moved the pointer last means the pointer, not the guess
        self._is_pointing = False

    def set_guess(self, guess: GuessMark | None) -> None:
        """Show where the landmark asked for may be, or nothing."""
        if guess == self.scene.guess:
            return
        self.scene.guess = guess
        if guess is not None and guess.is_held:
            self._is_pointing = False
        request = self.scene.request
        if request.keys in {GUESS_KEYS, PLACING_KEYS}:
            keys = GUESS_KEYS if self.holds_guess else PLACING_KEYS
            self.scene.request = replace(request, keys=keys)
        self.update()

    @property
    def holds_guess(self) -> bool:
        """Whether arrow keys move the guess."""
        guess = self.scene.guess
        return guess is not None and guess.is_held and not (self.is_picking or self.has_handles)

    def _takes_guess(self) -> bool:
        """Return whether the landmark asked for is to be placed at the guess, not at the pointer."""
        return self.holds_guess and not self._is_pointing

    @property
    def _is_leavable(self) -> bool:
        """Whether Esc has something to let go, or to stop."""
        is_asking = self.is_led and bool(self.scene.next_key) and not self.has_handles
        return bool(
            self.is_picking or self._pending or self.scene.chosen or self.holds_guess or is_asking
        )

    def _leave(self) -> None:
        """Let one thing go: the place that waits, picking, the guess, or the landmark."""
        if self._pending is not None:
            self.drop_pending()
        elif self.is_picking:
            self.stop_picking()
        elif self.holds_guess:
            self.guess_dropped.emit()
        elif self.scene.chosen:
            self._choose("")
        else:
            self.leading_stopped.emit()

    def _choose(self, key: str) -> None:
        """Make a landmark the one that nudges move."""
        raise NotImplementedError

    def _nudge(self, event: QKeyEvent) -> None:
        """Move what arrow keys move, by 1, 10 or 0.1 px of the frame."""
        dx, dy = NUDGES[Qt.Key(event.key())]
        length_px = 1.0
        if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            length_px = 10.0
        elif event.modifiers() & FINE_KEYS:
            length_px = 0.1
        if not self._is_ready():
            return
        across = (-dx if self.view.is_mirrored else dx) * length_px
        down = dy * length_px
        if self.holds_guess:
            self._is_pointing = False
            self.guess_moved.emit(across, down)
        elif self.has_handles:
            self.move_handle(self.scene.current_handle, across, down)
        else:
            self.nudged.emit(across, down)

    @property
    def _hand(self) -> QPointF:
        guess = self.scene.guess
        if guess is not None and self._takes_guess():
            return self.view.to_widget(guess.x_px, guess.y_px)
        return super()._hand

    def _magnified(self) -> tuple[float, float] | None:
        guess = self.scene.guess
        if guess is not None and self._takes_guess() and not self.scene.moving:
            return guess.x_px, guess.y_px
        return super()._magnified()
