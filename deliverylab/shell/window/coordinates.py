"""A landmark's coordinates over time, below the scrub bar."""

from __future__ import annotations

from deliverylab.shell.window.intents import IntentWindow


class CoordinatesWindow(IntentWindow):
    """Shows the curves or hides them.

    It is made as `IntentWindow` is.
    """

    def show_coordinates(self, is_wanted: bool = True) -> None:
        """Show how the landmark in hand runs through the clip, below the frames, or nothing there."""
        if is_wanted:
            self.centre.setCurrentWidget(self._work)
        self.coordinates.setVisible(is_wanted)
        self.actions_by_key["coordinates"].setChecked(is_wanted)
