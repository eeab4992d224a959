"""What a person looked at and found right, as an intent."""

from __future__ import annotations

from typing import TYPE_CHECKING

from deliverylab.shell.session_tracking import SessionTracking

if TYPE_CHECKING:
    from deliverylab.core.workflow.review_entry import Look


class SessionReview(SessionTracking):
    """The intent of the list of what to look at; the list itself keeps `LookWatch`."""

    def say_right(self, look: Look) -> None:
        """Take an entry off the list of what to look at, until its position is moved."""
        from deliverylab.core.workflow.review_entry import saying_right

        self._do(saying_right(self.project.delivery(look.delivery), look))
