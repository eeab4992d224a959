"""Landmarks placed, moved, hidden and passed over in the shown frame, as intents."""

from __future__ import annotations

from deliverylab.core.model.changes import Batch, Change
from deliverylab.core.model.clip_changes import SetOccluded, SetPosition
from deliverylab.core.model.track import Position
from deliverylab.shell.session_flow import SessionFlow
from deliverylab.shell.session_state import SIDES, Side, placing_keys


class SessionLandmarks(SessionFlow):
    """Intents about single landmarks; where to go from one knows `SessionFlow`."""

    def begin_gesture(self) -> None:
        """Begin a drag: moves of one landmark until `end_gesture` become one step."""
        self._n_gestures += 1
        self._gesture = ("gesture", self._n_gestures)

    def end_gesture(self) -> None:
        """End the drag."""
        self._gesture = None

    def place_landmark(self, side: Side, landmark: str, x_px: float, y_px: float) -> None:
        """Place or move a landmark in the shown frame; the next one is then asked for."""
        self._with_keys.discard(side)
        self._place(side, landmark, x_px, y_px, gesture=None)

    def nudge(self, dx_px: float, dy_px: float) -> None:
        """Move the current landmark of the active stage a little; a run of nudges is one step."""
        side = self.active_side
        landmark, camera = self.current_landmark(side), self.camera(side)
        if camera is None or not landmark:
            return
        old = camera.track(landmark).at(self._sides[side].frame)
        if old is not None:
            x_px, y_px = old.x_px + dx_px, old.y_px + dy_px
            self._place(side, landmark, x_px, y_px, gesture="nudge")

    def _place(
        self, side: Side, landmark: str, x_px: float, y_px: float, *, gesture: str | None
    ) -> None:
        delivery, camera = self._needs_camera(side)
        state = self._sides[side]
        x_px = min(max(float(x_px), -0.5), camera.width_px - 0.5)
        y_px = min(max(float(y_px), -0.5), camera.height_px - 0.5)
        where = {"delivery": delivery, "camera": camera.name, "landmark": landmark}
        change: Change = SetPosition(**where, frame=state.frame, position=Position(x_px, y_px))
        if camera.is_occluded(landmark, state.frame):
            seen = SetOccluded(**where, frame=state.frame, is_occluded=False)
            change = Batch(label=change.label, changes=(seen, change))
        is_asked = camera.track(landmark).at(state.frame) is None or state.chosen == landmark
        state.current = landmark
        if is_asked:
            state.chosen = ""
            self._look_after(side, landmark)
        self._do(change, gesture=gesture)
        self._announce_landmarks()
        if is_asked:
            self._dealt_with(side, landmark)

    def remove_landmark(self, side: Side, landmark: str) -> None:
        """Take a landmark's position in the shown frame away."""
        delivery, camera = self._needs_camera(side)
        frame = self._sides[side].frame
        if camera.track(landmark).at(frame) is not None:
            self._do(
                SetPosition(
                    delivery=delivery,
                    camera=camera.name,
                    landmark=landmark,
                    frame=frame,
                    position=None,
                )
            )

    def set_hidden(self, side: Side, landmark: str, is_hidden: bool) -> None:
        """Say that a landmark cannot be seen in the shown frame (its position goes), or that it can."""
        delivery, camera = self._needs_camera(side)
        state = self._sides[side]
        where = {"delivery": delivery, "camera": camera.name, "landmark": landmark}
        change: Change = SetOccluded(**where, frame=state.frame, is_occluded=is_hidden)
        if is_hidden and camera.track(landmark).at(state.frame) is not None:
            gone = SetPosition(**where, frame=state.frame, position=None)
            change = Batch(label=change.label, changes=(gone, change))
        if state.chosen == landmark:
            state.chosen = ""
        self._look_after(side, landmark)
        self._do(change)
        self._announce_landmarks()
        if is_hidden:
            self._dealt_with(side, landmark)

    def choose_landmark(self, side: Side, landmark: str) -> None:
        """Ask for this landmark next, or make a placed one the one that nudges move; empty: none."""
        camera = self.camera(side)
        state = self._sides[side]
        if camera is None:
            return
        self._with_keys.discard(side)
        if not landmark:
            state.current = ""
        elif camera.track(landmark).at(state.frame) is not None:
            state.current = landmark
        else:
            state.chosen = landmark
            state.skipped -= {landmark}
        self._announce_landmarks()
        self.guess_changed.emit(side)

    def skip_landmark(self, side: Side) -> None:
        """Pass over the landmark that is asked for, in this frame."""
        landmark = self.next_landmark(side)
        if landmark:
            state = self._sides[side]
            state.skipped |= {landmark}
            state.chosen = ""
            self._look_after(side, landmark)
            self._announce_landmarks()
            self._dealt_with(side, landmark, is_passed=True)

    def _look_after(self, side: Side, landmark: str) -> None:
        """Go on in the guided order behind this landmark."""
        delivery = self.delivery(side)
        keys = placing_keys(delivery.athlete.hand) if delivery is not None else ()
        if landmark in keys:
            self._sides[side].after = (keys.index(landmark) + 1) % len(keys)

    def look_at_point(self, delivery: str, camera: str, frame: int, landmark: str) -> Side:
        """Show a clip's frame with a landmark chosen, and return the stage on which that is.

        Raises
        ------
        DeliveryLabError
            There is no such clip any more.
        """
        self.project.camera(delivery, camera)
        shown = [
            side
            for side in SIDES
            if (self.state(side).delivery, self.state(side).camera) == (delivery, camera)
        ]
        side = shown[0] if shown else self._stage_of(delivery)
        if not shown:
            self.select(side, delivery, camera)
        self.activate(side)
        self.show_frame(side, frame)
        self.choose_landmark(side, landmark)
        return side

    def _stage_of(self, delivery: str) -> Side:
        stages = [one for one in SIDES if self.state(one).delivery == delivery]
        return stages[0] if stages else "athlete"
