"""One undo command for every edit: it carries a change of the core and the change that undoes it."""

from __future__ import annotations

from PySide6.QtGui import QUndoCommand

from deliverylab.core.model.changes import Batch, Change
from deliverylab.core.model.project import Project

MERGEABLE_ID = 1
"""Id of commands that belong to a gesture; Qt offers only commands of one id for merging."""


class ChangeCommand(QUndoCommand):
    """An edit that has been carried out, on its way to the undo stack.

    The change is applied before the command is made: an error then reaches whoever asked for the
    edit, where one raised inside Qt's own call would be lost.

    Parameters
    ----------
    project : Project
        What is edited.
    change, inverse : Change
        The edit, applied already, and what takes it back.
    gesture : hashable or None
        Edits of one gesture (a drag, a run of nudges) with the same key become one step; None
        never merges.
    follows : Change or None
        The edit that called for this one: where it is still the last, both are one step.

    Attributes
    ----------
    change, gesture
        As given; after a merge the change is the latest of the gesture.
    """

    def __init__(
        self,
        project: Project,
        change: Change,
        inverse: Change,
        gesture: object = None,
        *,
        follows: Change | None = None,
    ) -> None:
        super().__init__(change.label)
        self._project = project
        self.change = change
        self.inverse = inverse
        self.gesture = gesture
        self.follows = follows
        self._is_applied = True

    def id(self) -> int:
        """Return the id that Qt compares before it offers a merge."""
        return MERGEABLE_ID

    def redo(self) -> None:
        """Apply the change again; the first call, which comes from the push, has nothing to do."""
        if not self._is_applied:
            self._project.apply(self.change)
            self._is_applied = True

    def undo(self) -> None:
        """Apply the inverse."""
        self._project.apply(self.inverse)
        self._is_applied = False

    def mergeWith(self, other: QUndoCommand) -> bool:
        """Take a later edit of the same gesture and key in; one that ends where it began goes.

        An edit that this one called for is taken in as well.
        """
        if isinstance(other, ChangeCommand) and other.follows is self.change:
            label = self.change.label
            self.change = Batch(label=label, changes=(self.change, other.change))
            self.inverse = Batch(label=label, changes=(other.inverse, self.inverse))
            self.gesture = None
            return True
        if (
            not isinstance(other, ChangeCommand)
            or self.gesture is None
            or other.gesture != self.gesture
            or other.change.key != self.change.key
        ):
            return False
        self.change = other.change
        self.setText(self.change.label)
        self.setObsolete(self.change == self.inverse)
        return True
