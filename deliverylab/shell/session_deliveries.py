"""Intents that concern whole deliveries: which are on the stages, adding, naming, removing, trim."""

from __future__ import annotations

from pathlib import Path

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.changes import Batch, Change, SetCamera, SetDelivery, SetProjectField
from deliverylab.core.model.changes import replace as with_fields
from deliverylab.core.model.clip_changes import SetOccluded, SetPositions
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.plan_changes import scripts_following
from deliverylab.core.model.track import Position
from deliverylab.core.vocabulary.events import BY_KEY as EVENTS_BY_KEY
from deliverylab.shell.session_answers import SessionAnswers
from deliverylab.shell.session_state import SIDES, Side


class SessionDeliveries(SessionAnswers):
    """What is on the stages, and what becomes of whole deliveries and cameras."""

    # ------------------------------------------------------------------------------ the stages

    def select(self, side: Side, delivery: str | None, camera: str | None = None) -> None:
        """Put a delivery on a stage; two of them become the project's pair."""
        if delivery is not None and camera is not None:
            self.project.camera(delivery, camera)
        elif delivery is not None:
            self.project.delivery(delivery)
        if delivery != self._sides[side].delivery or camera not in {
            None,
            self._sides[side].camera,
        }:
            self._put(side, delivery, camera)
        names = [self._sides[one].delivery for one in SIDES]
        pair = (names[0], names[1]) if names[0] and names[1] else None
        if self.shows_both_clips:  # two clips of one delivery are no pair
            pair = self.record.pair
        if pair != self.record.pair and (pair or side == "model"):
            self._do(SetProjectField(field="pair", value=pair))
        if side == "model" and delivery is None:
            self.activate("athlete")
        self._announce_landmarks()
        self._want_results()
        self.display_changed.emit()

    def set_pair(self, athlete: str, model: str) -> None:
        """Compare these two deliveries."""
        for name in (athlete, model):
            self.project.delivery(name)
        self._do(SetProjectField(field="pair", value=(athlete, model)))
        self._want_results()

    def activate(self, side: Side) -> None:
        """Send keys to this stage."""
        if side != self.active_side and (side == "athlete" or self.delivery(side) is not None):
            self.active_side = side
            self.display_changed.emit()

    def set_linked(self, is_linked: bool) -> None:
        """Let the partner follow at the same phase, or not."""
        self.is_linked = is_linked
        self.display_changed.emit()

    def set_mirrored(self, is_mirrored: bool) -> None:
        """Draw left-handers mirrored, or as filmed."""
        self._mirror_choice = is_mirrored
        self.display_changed.emit()

    # ------------------------------------------------------------------------------ deliveries

    def add_delivery(self, delivery: Delivery, *, side: Side | None = None) -> None:
        """Add a delivery and put it on a stage: the free one, or the one asked for."""
        if delivery.name in self.delivery_names():
            raise InputValueError(
                "that name is taken", where=delivery.name, remedy="choose another name"
            )
        is_first = not self.record.deliveries
        stage: Side = side or ("athlete" if is_first else "model")
        shown = {one: self._sides[one].delivery for one in SIDES} | {stage: delivery.name}
        changes: list[Change] = [SetDelivery(name=delivery.name, delivery=delivery)]
        if all(shown.values()):
            pair = tuple(shown[one] for one in SIDES)
            changes.append(SetProjectField(field="pair", value=pair))
        self._do(Batch(label=f"Add {delivery.name}", changes=tuple(changes)))
        self.select(stage, delivery.name)
        self.activate(stage)

    def add_camera(self, delivery: str, camera: Camera) -> None:
        """Add a further camera to a delivery, and show it where the delivery is shown.

        Raises
        ------
        InputValueError
            The delivery has a camera of that name.
        """
        if camera.name in {one.name for one in self.cameras_of(delivery)}:
            raise InputValueError(
                "that delivery has a camera of this name",
                where=f"{delivery}: {camera.name}",
                remedy="choose another name",
            )
        what = f"Add camera {camera.name}"
        self._do(SetCamera(delivery=delivery, name=camera.name, camera=camera, what=what))
        for side in SIDES:
            if self._sides[side].delivery == delivery:
                self.select(side, delivery, camera.name)
                self.activate(side)
                break

    def remove_delivery(self, name: str) -> None:
        """Take a delivery out of the project; its clip stays where it is."""
        changes: list[Change] = [SetDelivery(name=name, delivery=None)]
        changes += scripts_following(self.record, name, None)
        if self.record.pair is not None and name in self.record.pair:
            changes.insert(0, SetProjectField(field="pair", value=None))
        self._do(Batch(label=f"Remove {name}", changes=tuple(changes)))

    def remove_camera(self, delivery: str, camera: str) -> None:
        """Take a camera out of a delivery with all that was placed in it.

        Raises
        ------
        InputValueError
            It is the only one.
        """
        if len(self.cameras_of(delivery)) < 2:
            raise InputValueError(
                "a delivery keeps at least one camera",
                where=delivery,
                remedy="remove the whole delivery",
            )
        self._do(SetCamera(delivery=delivery, name=camera, camera=None))

    def set_delivery(
        self, name: str, delivery: Delivery, *, camera_names: tuple[str, str] = ("", "")
    ) -> None:
        """Replace a delivery's facts: name, athlete, date, ball speed, notes.

        `camera_names` are the old and the new name of a camera that gets another one as well.
        """
        changes: list[Change] = [SetDelivery(name=name, delivery=delivery)]
        old, new = camera_names
        if old != new:
            renamed_camera = with_fields(delivery.camera(old), name=new)
            changes.append(SetCamera(delivery=delivery.name, name=old, camera=renamed_camera))
        pair = self.record.pair
        if pair is not None and name in pair and delivery.name != name:
            renamed = tuple(delivery.name if one == name else one for one in pair)
            changes.append(SetProjectField(field="pair", value=renamed))
        changes += scripts_following(self.record, name, delivery.name)
        self._do(Batch(label=f"Change {delivery.name}", changes=tuple(changes)))

    def set_athlete(self, delivery: str, athlete: Athlete) -> None:
        """Correct who threw."""
        self.set_delivery(delivery, with_fields(self.project.delivery(delivery), athlete=athlete))

    def set_trim(self, side: Side, first_frame: int, last_frame: int) -> None:
        """Use only a part of a stage's clip, both frames included.

        Raises
        ------
        InputValueError
            A mark would lie outside, or nothing would be left.
        """
        delivery, camera = self._needs_camera(side)
        end = camera.timing.n_frames - 1
        first_frame, last_frame = max(0, first_frame), min(end, last_frame)
        if last_frame <= first_frame:
            raise InputValueError(
                "a clip must end after it starts",
                where=f"{delivery}: frames {first_frame} to {last_frame}",
                remedy="choose the end behind the start",
            )
        for key, mark in camera.marks.items():
            frame = camera.timing.frame_at(mark.time_s)
            if not first_frame <= frame <= last_frame:
                raise InputValueError(
                    f"{EVENTS_BY_KEY[key].name} would be cut off",
                    where=f"{delivery}: it is marked at frame {frame}",
                    remedy="leave its frame in, or remove the mark first",
                )
        last = None if last_frame == end else last_frame
        trimmed = with_fields(camera, first_frame=first_frame, last_frame=last)
        if trimmed != camera:
            self._replace_camera(side, trimmed, "Trim the clip")

    def start_clip_here(self) -> None:
        """Leave out what comes before the active stage's shown frame."""
        side = self.active_side
        _, camera = self._needs_camera(side)
        self.set_trim(side, self._sides[side].frame, camera.end_frame)

    def end_clip_here(self) -> None:
        """Leave out what comes after the active stage's shown frame."""
        side = self.active_side
        _, camera = self._needs_camera(side)
        self.set_trim(side, camera.first_frame, self._sides[side].frame)

    def use_whole_clip(self) -> None:
        """Take the trim of the active stage's clip back."""
        side = self.active_side
        _, camera = self._needs_camera(side)
        self.set_trim(side, 0, camera.timing.n_frames - 1)

    def place_table(self, side: Side, path: Path) -> tuple[int, int]:
        """Place all positions of a table in a stage's clip, in one step.

        Returns
        -------
        int, int
            Number of positions and of frames.

        Raises
        ------
        DeliveryLabError
            A row cannot be used, named by its line; nothing is placed then.
        """
        from deliverylab.core.workflow.positions import read_positions_csv

        name, camera = self._needs_camera(side)
        hand = self.project.delivery(name).athlete.hand
        table = read_positions_csv(path, hand=hand, n_frames=camera.timing.n_frames)
        where = {"delivery": name, "camera": camera.name}
        # a place that was said to be out of sight is seen now
        seen: list[Change] = [
            SetOccluded(**where, landmark=key, frame=frame, is_occluded=False)
            for key, by_frame in table.items()
            for frame in by_frame
            if camera.is_occluded(key, frame)
        ]
        positions: dict[str, dict[int, Position | None]] = {
            key: dict(by_frame) for key, by_frame in table.items()
        }
        placed = SetPositions(**where, positions=positions)
        self._do(Batch(label=f"Place positions from {path.name}", changes=(*seen, placed)))
        frames = {frame for by_frame in table.values() for frame in by_frame}
        return sum(map(len, table.values())), len(frames)

    def set_view(self, side: Side, view: str) -> None:
        """Correct where the camera stood."""
        _, camera = self._needs_camera(side)
        self._replace_camera(side, with_fields(camera, view=view), "Set the view")

    def relink(self, delivery: str, camera: str, clip: Path, *, accept_other: bool = False) -> None:
        """Say where a moved clip lies now.

        Raises
        ------
        DeliveryLabError
            It is another file than the one that was measured, and `accept_other` is not set.
        """
        from deliverylab.core.store.clips import relinked

        old = self.project.camera(delivery, camera)
        new = relinked(old, clip, self.path, accept_other=accept_other)
        what = f"Relink {clip.name}"
        self._do(SetCamera(delivery=delivery, name=camera, camera=new, what=what))

    def _replace_camera(self, side: Side, camera: Camera, what: str) -> None:
        delivery, old = self._needs_camera(side)
        self._do(SetCamera(delivery=delivery, name=old.name, camera=camera, what=what))
