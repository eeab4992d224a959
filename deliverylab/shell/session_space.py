"""Cameras on the field: points clicked in every clip, cameras solved together, clocks compared."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, NamedTuple

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.field import U_CLICK_PX, CameraStand, ControlClick, FieldSetUp
from deliverylab.core.model.project import Project
from deliverylab.core.model.space_changes import (
    SetCamerasFrom,
    SetControlClick,
    SetField,
    SetStand,
    cameras_left_in_place,
)
from deliverylab.shell.session_ball import SessionBall
from deliverylab.shell.session_film import Report
from deliverylab.shell.session_state import Side

if TYPE_CHECKING:
    from deliverylab.core.workflow.space_alone import AloneOutcome
    from deliverylab.core.workflow.space_facts import StoodAt
    from deliverylab.core.workflow.space_freshness import OutOfDate
    from deliverylab.core.workflow.space_solve import SolveOutcome
    from deliverylab.core.workflow.space_sync import ClockCurve


class ComparedClocks(NamedTuple):
    """Clocks of a delivery's clips: curves, and their drawing with its width, points."""

    curves: tuple[ClockCurve, ...]
    pdf: bytes
    width_points: float


U_SCREEN_PX = 0.5
"""How well a hand meets a place, pixels of the screen: judgement, half a pixel."""


class SessionSpace(SessionBall):
    """Answers and intents about the field, the clicks on it, and the cameras solved from them."""

    # ------------------------------------------------------------------------------- questions

    def field_source(self, side: Side) -> Delivery | None:
        """Return the delivery whose field and clicks hold for a stage's; None without one.

        Where the one it names is gone, its own.
        """
        from deliverylab.core.workflow.space_set_up import source_of

        delivery = self.delivery(side)
        if delivery is None:
            return None
        try:
            return source_of(self.record, delivery)
        except InputValueError:
            return delivery

    def field(self, side: Side) -> FieldSetUp:
        """Return the field that holds for a stage's delivery; the standard one until it is set."""
        from deliverylab.core.workflow.space_set_up import standard_field_set_up

        source = self.field_source(side)
        return (source.field if source is not None else None) or standard_field_set_up()

    def looks_along_deg(self, side: Side) -> float | None:
        """Return where a stage's camera looks, degrees from the way to the plate, anticlockwise.

        None for one that looks down from the top.
        """
        from deliverylab.core.vocabulary.views import square_azimuth_deg

        delivery, camera = self.delivery(side), self.camera(side)
        if delivery is None or camera is None or camera.view == "top":
            return None
        return square_azimuth_deg(camera.view, delivery.athlete.hand) + camera.stand.turn_deg

    def left_in_place_since(self, side: Side) -> tuple[str, ...]:
        """Return the deliveries whose clicked cameras could hold for a stage's delivery."""
        own = self.delivery(side)
        if own is None:
            return ()
        names = [camera.name for camera in own.cameras]
        return tuple(
            other.name
            for other in self.record.deliveries
            if other.name != own.name
            and not other.cameras_from
            and any(camera.control for camera in other.cameras)
            and names == [camera.name for camera in other.cameras]
        )

    def space_freshness(self, side: Side) -> OutOfDate:
        """Return what a stage's solve no longer goes with: nothing, the field, or the body."""
        delivery = self.delivery(side)
        if delivery is None or delivery.space is None:
            return ""
        from deliverylab.core.workflow.space_freshness import is_out_of_date

        try:
            return is_out_of_date(self.record, delivery)
        except InputValueError:  # the delivery whose cameras hold is gone
            return "field"

    def cameras_are_solved(self, side: Side) -> bool:
        """Whether a stage's delivery has one clip, or cameras that are solved and go with the field."""
        delivery = self.delivery(side)
        if delivery is None or len(delivery.cameras) < 2:
            return True
        is_usable = delivery.space is not None and not delivery.space.is_refused
        return is_usable and self.space_freshness(side) != "field"

    def solved_stands(self, side: Side) -> tuple[StoodAt, ...]:
        """Return where the solved cameras of a stage's delivery stood."""
        delivery = self.delivery(side)
        if delivery is None or delivery.space is None:
            return ()
        from deliverylab.core.workflow.space_facts import solved_stands

        return solved_stands(delivery)

    # --------------------------------------------------------------------------------- clicking

    def click_field(
        self,
        side: Side,
        point: str,
        x_px: float,
        y_px: float,
        *,
        zoom: float = 1.0,
        gesture: str | None = None,
    ) -> None:
        """Click a point of the field in a stage's picture, or move the click.

        `zoom` is how many pixels of the screen one of the picture takes: a click in a small
        picture is less sure.  Moves of one `gesture` are one step.
        """
        delivery, camera = self._needs_camera(side)
        click = ControlClick(
            x_px=min(max(float(x_px), -0.5), camera.width_px - 0.5),
            y_px=min(max(float(y_px), -0.5), camera.height_px - 0.5),
            u_px=max(U_CLICK_PX, U_SCREEN_PX / zoom),
        )
        self._do(self._click_change(delivery, camera, point, click), gesture=gesture)

    def take_click_away(self, side: Side, point: str) -> None:
        """Take a point's click in a stage's picture away."""
        delivery, camera = self._needs_camera(side)
        if point in camera.control:
            self._do(self._click_change(delivery, camera, point, None))

    def _click_change(
        self, delivery: str, camera: Camera, point: str, click: ControlClick | None
    ) -> SetControlClick:
        return SetControlClick(delivery=delivery, camera=camera.name, point=point, click=click)

    def set_field(self, side: Side, field: FieldSetUp) -> None:
        """Set the points of the field of a stage's delivery."""
        source = self.field_source(side)
        if source is not None:
            self._do(SetField(delivery=source.name, field=field))

    def set_stand(self, side: Side, stand: CameraStand) -> None:
        """Say how a stage's camera stood and what lens it had."""
        delivery, camera = self._needs_camera(side)
        self._do(SetStand(delivery=delivery, camera=camera.name, stand=stand))

    def leave_cameras_in_place(self, side: Side, source: str) -> None:
        """Take the cameras of a stage's delivery from another; empty: clicked in its own clips.

        Raises
        ------
        InputValueError
            The other one has other cameras, or was not clicked itself.
        """
        delivery, _ = self._needs_camera(side)
        if source:
            self._do(cameras_left_in_place(self.project, delivery, source))
        else:
            self._do(SetCamerasFrom(delivery=delivery, source=""))

    # ---------------------------------------------------------------------------------- solving

    def solve_work(self, side: Side) -> Callable[[Report], SolveOutcome]:
        """Return the work that solves the cameras of a stage's delivery, of a copy taken now."""
        delivery, _ = self._needs_camera(side)
        project = Project(self.record)

        def work(report: Report) -> SolveOutcome:
            from deliverylab.core.workflow.space_solve import solve

            report(0.1)
            return solve(project, delivery)

        return work

    def solve_alone_work(self, side: Side) -> Callable[[Report], AloneOutcome]:
        """Return the work that solves a stage's camera by itself, of a copy taken now."""
        delivery, camera = self._needs_camera(side)
        project, name = Project(self.record), camera.name

        def work(report: Report) -> AloneOutcome:
            from deliverylab.core.workflow.space_alone import solve_alone

            report(0.1)
            return solve_alone(project, delivery, name)

        return work

    def take_alone(self, outcome: AloneOutcome) -> None:
        """Give a camera that was solved by itself the scale that follows, where one may."""
        if outcome.change is not None:
            self._do(outcome.change)

    def take_solution(self, outcome: SolveOutcome) -> None:
        """Keep what a solve found, in one step."""
        self._do(outcome.changes)

    def clock_work(self, side: Side) -> Callable[[Report], ComparedClocks]:
        """Return the work that holds the clips' clocks against each other, shift by shift.

        A sharp sound is listened for where the clips are there.
        """
        delivery, _ = self._needs_camera(side)
        project, lost = Project(self.record), {one.delivery for one in self.lost_clips()}
        listen_from = None if delivery in lost else self.path

        def work(report: Report) -> ComparedClocks:
            from deliverylab.core.report.clock_plot import WIDTH, clock_plot_pdf
            from deliverylab.core.workflow.space_sync import clock_drawing, sync_curves

            report(0.1)
            curves = sync_curves(project, delivery, listen_from=listen_from)
            drawings = tuple(clock_drawing(delivery, curve) for curve in curves)
            return ComparedClocks(curves, clock_plot_pdf(drawings), WIDTH)

        return work
