"""How the two deliveries are shown: beside or over each other, with or without their pictures."""

from __future__ import annotations

from typing import Literal

from PySide6.QtCore import QObject

from deliverylab.core.errors import InputValueError
from deliverylab.shell.session_review import SessionReview

Arrangement = Literal["beside", "over", "curves"]
Anchor = Literal["pelvis", "foot"]


class SessionStages(SessionReview):
    """Answers and intents about the arrangement of the stages; nothing here is an edit.

    Attributes
    ----------
    arrangement : {"beside", "over", "curves"}
        Two stages, one with the model laid over it, or a reading's curves over the phase.
    anchor : {"pelvis", "foot"}
        Where two bodies laid over each other have a point in common.
    has_pictures : bool
        Whether the clips are seen, and not the bodies alone.
    has_measures : bool
        Whether what is measured at an event is drawn on its picture.
    """

    def __init__(self, parent: QObject | None = None) -> None:
        self._wanted: Arrangement = "beside"
        self.anchor: Anchor = "pelvis"
        self.has_pictures = True
        self.has_measures = True
        super().__init__(parent)

    @property
    def arrangement(self) -> Arrangement:
        """What was wanted, as far as what is on the stages allows it."""
        if self._wanted == "over" and self.overlay_refusal():
            return "beside"
        return self._wanted

    def overlay_refusal(self) -> str:
        """Return why the model cannot be laid over the athlete; empty where it can."""
        own, their = self.camera("athlete"), self.camera("model")
        if own is None or their is None or self.shows_both_clips:
            return "there is no model delivery on the second stage"
        from deliverylab.shell.overlay_content import view_refusal

        return view_refusal(own, their)

    def lay_over(self, is_wanted: bool) -> None:
        """Lay the model's body over the athlete's picture on one large stage, or not.

        Raises
        ------
        InputValueError
            There is no model delivery, or the two are seen in different planes.
        """
        refusal = self.overlay_refusal() if is_wanted else ""
        self._arrange("over" if is_wanted and not refusal else "beside")
        if refusal:
            raise InputValueError(
                "one cannot be laid over the other",
                where=refusal,
                remedy="show clips from the same view on both stages",
            )

    def show_curves(self, is_wanted: bool) -> None:
        """Show a reading's curves over the phase in place of the stages, or not."""
        self._arrange("curves" if is_wanted else "beside")

    def _arrange(self, arrangement: Arrangement) -> None:
        self._wanted = arrangement
        self.display_changed.emit()

    def show_bodies_only(self, is_wanted: bool) -> None:
        """Show the bodies on plain ground at the same scale, or with their pictures."""
        self.has_pictures = not is_wanted
        self.display_changed.emit()

    def set_anchor(self, anchor: Anchor) -> None:
        """Choose what two bodies laid over each other have in common."""
        self.anchor = anchor
        self.display_changed.emit()

    def set_measures(self, is_wanted: bool) -> None:
        """Draw what is measured at an event on its picture, or not."""
        self.has_measures = is_wanted
        self.display_changed.emit()

    def views_note(self) -> str:
        """Return what can be compared where the stages show different views; else nothing."""
        own, their = self.camera("athlete"), self.camera("model")
        if own is None or their is None or self.shows_both_clips or own.view == their.view:
            return ""
        from deliverylab.core.vocabulary.views import view

        found = self.differences()
        metrics = {one.metric for one in found}
        comparable = {one.metric for one in found if one.verdict != "not_comparable"}
        return (
            f"Different views, {view(own.view).name} and {view(their.view).name}: "
            f"{len(comparable)} of {len(metrics)} readings can be compared"
        )
