"""Placing again in hidden order, what it says, and taking it up as one's own ±."""

from __future__ import annotations

import time
from collections.abc import Iterable
from typing import TYPE_CHECKING

from deliverylab.core.errors import UsageError
from deliverylab.core.model.precision import PlacingPrecision, PlacingRun, PlacingTarget
from deliverylab.shell.session_space import SessionSpace
from deliverylab.shell.session_state import Side

if TYPE_CHECKING:
    from deliverylab.core.metrics.scatter import LandmarkScatter
    from deliverylab.core.workflow.precision import PrecisionReport


class SessionPlacing(SessionSpace):
    """Answers and intents about how well somebody places landmarks."""

    _hiding: frozenset[Side] = frozenset()

    # ------------------------------------------------------------------------- placing again

    def hides_places(self, side: Side) -> bool:
        """Whether a stage shows the picture alone, so that nobody sees where a landmark was."""
        return side in self._hiding

    def hide_places(self, side: Side, is_hiding: bool) -> None:
        """Show the picture alone, or the landmarks again."""
        hiding = self._hiding | {side} if is_hiding else self._hiding - {side}
        if hiding != self._hiding:
            self._hiding = hiding
            self.display_changed.emit()

    def unfinished_runs(self, side: Side) -> tuple[PlacingRun, ...]:
        """Return the runs of a stage's camera that can be gone on with."""
        delivery, camera = self.delivery(side), self.camera(side)
        if delivery is None or camera is None:
            return ()
        return tuple(
            run
            for run in delivery.placing_runs
            if run.waiting and run.waiting[0].camera == camera.name
        )

    def placing_run(self, side: Side, name: str) -> PlacingRun | None:
        """Return a run as it stands now; None where it is gone."""
        delivery = self.delivery(side)
        runs = () if delivery is None else delivery.placing_runs
        return next((run for run in runs if run.name == name), None)

    def begin_placing_again(
        self, side: Side, placer: str, landmarks: Iterable[str], n_frames_each: int
    ) -> str:
        """Begin a run of a stage's camera, within the part of the clip that is shown.

        Returns
        -------
        str
            Its name.

        Raises
        ------
        DeliveryLabError
            Nobody's name, or nothing that was placed by hand.
        """
        from deliverylab.core.workflow.precision_run import kept, new_run, repeat_targets

        owner, camera = self._needs_camera(side)
        delivery = self.project.delivery(owner)
        drawn = repeat_targets(
            delivery,
            camera.name,
            landmarks=landmarks,
            n_frames_each=n_frames_each,
            seed=time.time_ns() % 2**32,
        )
        targets = [t for t in drawn if camera.first_frame <= t.frame <= camera.end_frame]
        if not targets:
            raise UsageError(
                "nothing is placed by hand in the part of the clip that is shown",
                where=delivery.name,
                remedy="show the whole clip, or place landmarks there first",
            )
        run = new_run(delivery, targets, placer.strip(), time.strftime("%Y-%m-%d"))
        self._do(kept(delivery, run))
        return run.name

    def asked_again(self, side: Side, name: str) -> PlacingTarget | None:
        """Return what a run asks for now; None when it is finished or gone."""
        from deliverylab.core.workflow.precision_run import next_target

        run = self.placing_run(side, name)
        return None if run is None else next_target(run)

    def place_again(self, side: Side, name: str, x_px: float, y_px: float) -> None:
        """Place what the run asks for."""
        from deliverylab.core.workflow.precision_run import kept, with_placed

        owner, _ = self._needs_camera(side)
        delivery = self.project.delivery(owner)
        run = self.placing_run(side, name)
        if run is not None:
            self._do(kept(delivery, with_placed(run, delivery, x_px, y_px)))

    def skip_again(self, side: Side, name: str) -> None:
        """Leave out what the run asks for: it cannot be seen."""
        from deliverylab.core.workflow.precision_run import kept, with_skipped

        owner, _ = self._needs_camera(side)
        run = self.placing_run(side, name)
        if run is not None and run.waiting:
            self._do(kept(self.project.delivery(owner), with_skipped(run)))

    def take_back_again(self, side: Side, name: str) -> None:
        """Ask anew for what was placed last."""
        from deliverylab.core.workflow.precision_run import kept, with_last_taken_back

        owner, _ = self._needs_camera(side)
        run = self.placing_run(side, name)
        if run is not None:
            self._do(kept(self.project.delivery(owner), with_last_taken_back(run)))

    # ------------------------------------------------------------------------ what it says

    def precision_report(self) -> PrecisionReport:
        """Return what all runs of the project say."""
        from deliverylab.core.workflow.precision import precision_report

        return precision_report(self.record)

    def precision_in_use(self) -> PlacingPrecision | None:
        """Return whose figures the active stage's camera uses; None for the judged ones."""
        camera = self.camera(self.active_side)
        return None if camera is None else camera.precision

    def n_with_own_u(self, delivery: str | None = None) -> int:
        """Return how many positions, there or in the project, carry a u of their own and keep it."""
        from deliverylab.core.workflow.precision_use import n_keeping_their_u

        return n_keeping_their_u(self.record, delivery)

    def uses_no_default(self, delivery: str | None = None) -> bool:
        """Return whether no position, there or in the project, takes the default u."""
        from deliverylab.core.workflow.precision_use import uses_no_default

        return uses_no_default(self.record, delivery)

    def use_precision(
        self, precision: PlacingPrecision | None, delivery: str | None = None
    ) -> None:
        """Make figures the default u of a delivery or of all; no figures: the judged ones again.

        Raises
        ------
        DeliveryLabError
            The project holds no camera.
        """
        from deliverylab.core.workflow.precision_use import take_up

        self._do(take_up(self.record, precision, delivery=delivery))

    def use_figures_of(self, placer: str, delivery: str | None = None) -> PlacingPrecision | None:
        """Make a person's figures from this project's runs the default u, and remember them.

        Parameters
        ----------
        placer : str
            Whose.
        delivery : str, optional
            Only there; the whole project without.

        Raises
        ------
        DeliveryLabError
            Too few repeats, or the record of figures cannot be written.
        """
        from deliverylab.core.store.personal import remember
        from deliverylab.core.workflow.precision_use import figures_of

        figures = figures_of(self.precision_report(), placer)
        if figures is not None:
            self.use_precision(figures, delivery)
            remember(figures)
        return figures

    def remembered_placers(self) -> tuple[str, ...]:
        """Return whose figures are known from earlier projects.

        Raises
        ------
        DeliveryLabError
            The record of them is damaged.
        """
        from deliverylab.core.store.personal import remembered

        return tuple(remembered())

    def use_remembered(self, placer: str, delivery: str | None = None) -> None:
        """Make a person's figures from earlier projects the default u, there or in all deliveries.

        Raises
        ------
        DeliveryLabError
            The record of them is damaged, or the project holds no camera.
        """
        from deliverylab.core.store.personal import remembered

        figures = remembered().get(placer)
        if figures is not None:
            self.use_precision(figures, delivery)

    # --------------------------------------------------------------------------- scatter

    def n_placed(self, side: Side, landmark: str) -> int:
        """Return in how many frames a landmark is placed."""
        camera = self.camera(side)
        return 0 if camera is None else len(camera.track(landmark))

    def scatter(self, side: Side, landmark: str) -> LandmarkScatter:
        """Return the residual analysis of a landmark.

        Raises
        ------
        DeliveryLabError
            Too few frames in a row, or uneven ones.
        """
        from deliverylab.core.metrics.scatter import landmark_scatter

        owner, camera = self._needs_camera(side)
        return landmark_scatter(self.project.delivery(owner), camera, landmark)
