"""One stage: a delivery's frame with its landmarks, its header, and the clip behind it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from PySide6.QtCore import QRectF, QTimer, Signal
from PySide6.QtWidgets import QFrame, QVBoxLayout, QWidget

from deliverylab.core.errors import DeliveryLabError
from deliverylab.core.vocabulary.landmarks import landmark, role_for_key, role_name
from deliverylab.shell import stage_content
from deliverylab.shell.clip_feed import ClipFeed
from deliverylab.shell.drawing.handles import Handle
from deliverylab.shell.messages import NoticeBar, error_text
from deliverylab.shell.overlay_content import overlay
from deliverylab.shell.session import Session, Side
from deliverylab.shell.sight_lines import sight_lines
from deliverylab.shell.stage_home import home_area
from deliverylab.shell.stage_marks import stage_annotations
from deliverylab.shell.widgets.stage_canvas import StageCanvas
from deliverylab.shell.widgets.stage_header import StageHeader

LAG_SHOWN_MS = 200
MOVED_TOUCHES = frozenset({"positions"})
DRAWN_TOUCHES = frozenset({"positions", "marks", "scale", "space", "deliveries", "project"})


class StagePane(QFrame):
    """Bind one stage's canvas and header to the session, and its clip to the canvas.

    Attributes
    ----------
    side : {"athlete", "model"}
        Which stage it is.
    canvas : StageCanvas
        Where landmarks are placed; a dialog asks for scale points by its `pick_points`.
    feed : ClipFeed
        Where pictures come from.

    Signals
    -------
    relink_requested(str)
        Side: its clip was not found and the user wants to look for it.
    action_wanted(str, str)
        Side, and the key of an action that is wanted for its delivery.
    warmed(str, float)
        Side and share of the clip that answers at once.
    """

    relink_requested = Signal(str)
    action_wanted = Signal(str, str)
    warmed = Signal(str, float)

    def __init__(self, session: Session, side: Side, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.side = side
        self._session = session
        self._opened: tuple[Any, ...] | None = None
        self._drawn: object = None
        self._lag_said = ""
        self._is_bare = self._is_without_picture = False
        self.setObjectName("pane")
        self.header = StageHeader(side)
        self.canvas = StageCanvas()
        self.canvas.setAccessibleName("Stage of the model" if side == "model" else "Stage")
        self.notice = NoticeBar()
        self.feed = ClipFeed(self)
        self._lag = QTimer(self)
        self._lag.setSingleShot(True)
        self._lag.setInterval(LAG_SHOWN_MS)
        self._lag.timeout.connect(self._on_lagging)
        column = QVBoxLayout(self)
        column.setContentsMargins(6, 6, 6, 6)
        column.setSpacing(2)
        column.addWidget(self.header)
        column.addWidget(self.notice)
        column.addWidget(self.canvas, 1)
        self.setFocusProxy(self.canvas)
        self._connect_session()
        self._connect_canvas()
        self._on_selection_changed(side)

    def _connect_session(self) -> None:
        session = self._session
        session.changed.connect(self._on_changed)
        session.selection_changed.connect(self._on_selection_changed)
        session.frame_changed.connect(self._on_frame_changed)
        session.next_landmark_changed.connect(self._on_next_landmark_changed)
        session.current_landmark_changed.connect(self._on_current_landmark_changed)
        session.results_updated.connect(self._on_results_updated)
        session.display_changed.connect(self._on_display_changed)
        session.play_changed.connect(self._show_annotations)
        self.feed.picture_arrived.connect(self._on_picture_arrived)
        self.feed.failed.connect(self._on_feed_failed)
        self.feed.warmed.connect(self._on_warmed)
        self.notice.action_chosen.connect(self._on_relink_chosen)
        self.header.delivery_chosen.connect(self._on_delivery_chosen)
        self.header.camera_chosen.connect(self._on_camera_chosen)
        self.header.action_wanted.connect(lambda key: self.action_wanted.emit(self.side, key))
        self.header.overlay_toggled.connect(self._show_overlay)

    def _connect_canvas(self) -> None:
        session, canvas, side = self._session, self.canvas, self.side
        canvas.activated.connect(lambda: session.activate(side))
        canvas.drag_started.connect(self._on_drag_started)
        canvas.drag_ended.connect(self._on_drag_ended)
        canvas.exact_requested.connect(self.feed.show_exact)
        for signal, intent in (
            (canvas.landmark_placed, lambda *at: session.place_landmark(side, *at)),
            (canvas.landmark_moved, lambda *at: session.place_landmark(side, *at)),
            (canvas.landmark_removed, lambda key: session.remove_landmark(side, key)),
            (canvas.landmark_hidden, lambda key: session.set_hidden(side, key, True)),
            (canvas.landmark_skipped, lambda _key: session.skip_landmark(side)),
            (canvas.landmark_chosen, lambda key: session.choose_landmark(side, key)),
            (canvas.nudged, session.nudge),
            (canvas.frames_stepped, session.step),
            (canvas.events_stepped, session.next_event),
        ):
            signal.connect(self._asked(intent))

    def _asked(self, intent: Callable[..., None]) -> Callable[..., None]:
        """Return a slot that asks for an intent on this stage and shows what went wrong."""

        def ask(*arguments: Any) -> None:
            self._session.activate(self.side)
            try:
                intent(*arguments)
            except DeliveryLabError as error:
                self.notice.say(error_text(error), "problem")

        return ask

    def release(self) -> None:
        """End the clip's process; for closing the window."""
        self.feed.close()
        self._opened = None

    # ------------------------------------------------------------------- following the session

    def _on_selection_changed(self, side: str) -> None:
        if side == self.side:
            self._open_clip()
            self._refresh()

    def _on_changed(self, touches: frozenset[str]) -> None:
        if touches <= MOVED_TOUCHES:
            # the moves of a drag: what is measured follows with the session's next results
            if self._session.camera(self.side) is not self._drawn:
                self._draw_points()
            else:
                self._show_sight_lines()  # another clip of the delivery may have moved a point
                if self.header.wants_overlay:
                    self._show_overlay()
            return
        if "deliveries" in touches or "project" in touches:
            self._open_clip()
        if touches & DRAWN_TOUCHES:
            self._refresh()

    def _on_display_changed(self) -> None:
        if self._session.has_pictures == self._is_without_picture:
            self._is_without_picture = not self._is_without_picture
            self._show_picture_or_none()
        self._refresh()

    def _show_picture_or_none(self) -> None:
        """Take the picture away, or fetch it again, and show the part that then matters."""
        camera = self._session.camera(self.side)
        if camera is not None and self._is_without_picture:
            self.canvas.set_picture(None, (camera.width_px, camera.height_px))
        self.canvas.set_home(self._home())
        self._want_frame(self._session.state(self.side).frame)

    def _on_frame_changed(self, side: str, frame: int) -> None:
        if side != self.side:
            self._show_overlay()
            return
        self.canvas.drop_pending()
        self._want_frame(frame)
        self._refresh()

    def _on_next_landmark_changed(self, side: str, _key: str) -> None:
        if side == self.side:
            self._show_next()
            self._show_sight_lines()

    def _on_current_landmark_changed(self, side: str, key: str) -> None:
        if side == self.side:
            self.canvas.set_chosen(key)
            self._show_sight_lines()

    def _on_results_updated(self) -> None:
        self._show_annotations()

    def _refresh(self) -> None:
        """Draw the shown frame's landmarks and say where and when it is."""
        session, side, canvas = self._session, self.side, self.canvas
        delivery, camera = session.delivery(side), session.camera(side)
        self.header.set_choice(
            session.delivery_names(),
            delivery.name if delivery else "",
            tuple(one.name for one in delivery.cameras) if delivery else (),
            camera.name if camera else "",
            may_be_none=side == "model",
        )
        self.header.set_active(session.active_side == side)
        if delivery is None or camera is None:
            self.header.set_facts("Nothing here yet")
            self.header.set_place("")
            canvas.set_skeleton({}, "right", side)
            canvas.set_tag("")
            canvas.set_annotations(())
            canvas.set_sight_lines(())
            self._show_next()
            return
        frame = session.state(side).frame
        is_mirrored = session.is_mirrored and delivery.athlete.hand == "left"
        canvas.set_mirrored(is_mirrored)
        canvas.set_tag(stage_content.event_name(session.event_at_frame(side)))
        if canvas.scene.layer.is_empty:
            canvas.set_ground(stage_content.ground_y_px(camera))
        system = session.unit_system
        self.header.set_facts(
            stage_content.facts_text(delivery, camera, is_mirrored=is_mirrored, system=system)
        )
        self.header.set_place(*stage_content.place_texts(camera, frame, session.time_s(side)))
        self._draw_points()
        self._show_annotations()

    def _draw_points(self) -> None:
        """Draw the shown frame's landmarks and ask for the next."""
        session, side = self._session, self.side
        delivery, camera = session.delivery(side), session.camera(side)
        self._drawn = camera
        if delivery is not None and camera is not None:
            frame = session.state(side).frame
            is_bare = self._is_bare or session.hides_places(side)
            points = {} if is_bare else stage_content.frame_points(camera, frame)
            style = "athlete" if session.shows_both_clips else side
            self.canvas.set_skeleton(points, delivery.athlete.hand, style)
        self._show_next()
        self._show_overlay()
        self._show_sight_lines()

    def _show_sight_lines(self) -> None:
        """Show where landmarks must lie after the delivery's other clips."""
        has_body = not (self._is_bare or self.canvas.has_handles or self.canvas.is_picking)
        self.canvas.set_sight_lines(sight_lines(self._session, self.side) if has_body else ())

    def _show_overlay(self) -> None:
        """Lay the model's body over the athlete's, where that is wanted."""
        session, header = self._session, self.header
        if self.side == "model":
            return
        header.offer_overlay(not session.overlay_refusal() and session.arrangement != "over")
        is_wanted = session.arrangement == "over" or header.wants_overlay
        shown = overlay(session) if is_wanted and not session.hides_places("athlete") else None
        if shown is not None:
            self.canvas.set_partner_skeleton(*shown)
        elif self.canvas.scene.ghost:
            self.canvas.set_partner_skeleton(None)

    def _show_next(self) -> None:
        delivery, key = self._session.delivery(self.side), self._session.next_landmark(self.side)
        if delivery is None or not key or self._session.hides_places(self.side):
            self.canvas.set_next_landmark("")
            return
        name = role_name(role_for_key(key, delivery.athlete.hand))
        self.canvas.set_next_landmark(key, name, landmark(key).hint)

    def show_handles(
        self, handles: Sequence[Handle] | None, what: str = "Scale", hint: str = ""
    ) -> None:
        """Let the points of a form be dragged here; None goes back to the landmarks."""
        usual = "drag its points" if handles else "its points come here"
        self.canvas.set_handles(handles, what, hint or usual)
        self._show_annotations()

    def set_bare(self, is_bare: bool) -> None:
        """Leave the body out, which lies over the field; or show it again."""
        self._is_bare = is_bare
        self.canvas.set_home(self._home())
        self._refresh()

    def _home(self) -> QRectF | None:
        """Return the part of the picture that matters: where the body is, or all of it."""
        return None if self._is_bare else home_area(self._session, self.side)

    def _show_annotations(self) -> None:
        """Draw what is measured; a form's own points stand for the scale while it is being set."""
        is_scale_seen = not self.canvas.has_handles
        drawn = stage_annotations(self._session, self.side, is_scale_seen=is_scale_seen)
        self.canvas.set_annotations(() if self._is_bare else drawn)

    # --------------------------------------------------------------------------------- clip

    def _open_clip(self) -> None:
        """Open the clip of the delivery on this stage, unless it is open already."""
        session = self._session
        camera, path = session.camera(self.side), session.clip_path(self.side)
        wanted: tuple[Any, ...] | None = None
        if camera is not None:
            wanted = (path, camera.clip, camera.first_frame, camera.end_frame, camera.width_px)
        if wanted == self._opened:
            return
        # a new trim of the same clip: the picture that is seen stays until the next comes
        before = self._opened[:2] if self._opened is not None else None
        is_trimmed = wanted is not None and path is not None and before == wanted[:2]
        self._opened = wanted
        self.feed.close()
        self.notice.dismiss()
        self._lag.stop()
        self.canvas.drop_pending()
        self.canvas.set_message("")
        self.warmed.emit(self.side, 1.0)
        if not is_trimmed:
            size = (camera.width_px, camera.height_px) if camera is not None else (1920, 1080)
            self.canvas.set_picture(None, size)
            self.canvas.set_home(self._home())
        if camera is None or camera.clip is None:
            return
        if path is None:
            name = Path(camera.clip.path).name
            text = f"The clip {name} is not where it was. Its measurements are all here."
            self.notice.say(text, "caution", action="Find the clip …")
            return
        self.feed.open(path, camera.first_frame, camera.end_frame)
        if self.feed.is_open:
            self.warmed.emit(self.side, 0.0)
            self._want_frame(session.state(self.side).frame)

    def _want_frame(self, frame: int) -> None:
        if not self.feed.is_open or self._is_without_picture:
            return
        # until the picture of this frame is here, nothing may be placed on the one before
        self.canvas.is_exact = False
        self._lag.start()
        self.feed.show(frame)

    def _on_picture_arrived(self, served: Any) -> None:
        camera = self._session.camera(self.side)
        if camera is not None and not self._is_without_picture:
            self._lag.stop()
            self._say_lag("")
            size = (camera.width_px, camera.height_px)
            self.canvas.set_picture(served.picture, size, is_exact=served.is_exact)

    def _on_lagging(self) -> None:
        if not self.canvas.scene.message:
            self._say_lag(f"Fetching frame {self.feed.frame} …")

    def _say_lag(self, text: str) -> None:
        """Say that the picture is late, or take just that back."""
        if text or self.canvas.scene.message == self._lag_said:
            self.canvas.set_message(text)
        self._lag_said = text

    def _on_feed_failed(self, error: DeliveryLabError) -> None:
        self._lag.stop()
        self.canvas.set_message("")
        self.notice.say(error_text(error), "problem")
        if not self.feed.is_open:
            self.warmed.emit(self.side, 1.0)

    def _on_warmed(self, fraction: float) -> None:
        self.warmed.emit(self.side, fraction)

    def _on_relink_chosen(self) -> None:
        self.relink_requested.emit(self.side)

    # ------------------------------------------------------------------------------ intents

    def _on_drag_started(self, _key: str) -> None:
        self._session.activate(self.side)
        self._session.begin_gesture()

    def _on_drag_ended(self, _key: str) -> None:
        self._session.end_gesture()

    def _on_delivery_chosen(self, name: str) -> None:
        self._asked(lambda: self._session.select(self.side, name or None))()

    def _on_camera_chosen(self, name: str) -> None:
        delivery = self._session.state(self.side).delivery
        self._asked(lambda: self._session.select(self.side, delivery, name))()
