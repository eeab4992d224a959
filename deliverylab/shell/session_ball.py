"""The ball in a stage's clip: in flight after release, and falling as a check."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

from deliverylab.core.model.changes import replace as with_fields
from deliverylab.core.model.clip_changes import SetPositions
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.track import Position
from deliverylab.core.vocabulary.balls import BallKey
from deliverylab.shell.session_film import BY_BALL, Offer, Report, SessionFilm, rate, sentence
from deliverylab.shell.session_state import Side
from deliverylab.shell.value_text import of_result

if TYPE_CHECKING:
    from deliverylab.core.metrics.spec import Result
    from deliverylab.core.tracking.ball import BallFlight

BALL_SPEED = "ball_speed_measured"


class Searched(NamedTuple):
    """How a search for the ball ended, and what is to be said of it."""

    is_found: bool
    said: str


@dataclass(frozen=True, kw_only=True)
class BallSaid:
    """What the ball says: its places, its speed beside the radar's, whether they agree.

    Attributes
    ----------
    places, is_placed : str, bool
        In which frames it is placed, and whether in any.
    speed, radar : str
        Empty where there is none.
    verdict : str
        Whether the two agree, or why there is no speed and what to do.
    level : str
        ``good``, ``note`` or ``caution``.
    offer : Offer or None
        The capture rate that would bring the two together.
    """

    places: str
    is_placed: bool = False
    speed: str = ""
    radar: str = ""
    verdict: str = ""
    level: str = "note"
    offer: Offer | None = None


@dataclass(frozen=True, kw_only=True)
class FallSaid:
    """What a falling ball says of scale and capture rate."""

    verdict: str
    meaning: str
    level: str
    offer: Offer | None = None


class SessionBall(SessionFilm):
    """Answers and intents about the ball in a stage's clip."""

    # -------------------------------------------------------------------------- after release

    def set_ball(self, side: Side, ball: BallKey) -> None:
        """Say what kind of ball is thrown."""
        delivery = self.delivery(side)
        if delivery is not None and delivery.ball != ball:
            self.set_delivery(delivery.name, with_fields(delivery, ball=ball))

    def ball_work(self, side: Side) -> Callable[[Report], BallFlight]:
        """Return the work that looks for the ball after release.

        Raises
        ------
        DeliveryLabError
            Release, the scale or the clip is missing.
        """
        name, camera = self._needs_camera(side)
        delivery, path = self.project.delivery(name), self.path
        from deliverylab.core.workflow.ball import ball_frames, ball_search, look_for_ball

        ball_frames(delivery, camera)
        ball_search(delivery, camera)

        def work(report: Report) -> BallFlight:
            return look_for_ball(delivery, camera, path, progress=report)

        return work

    def place_ball(self, side: Side, found: Any) -> Searched:
        """Place the ball where it was found, in one step; tell how the search ended.

        `found` is what the work of `ball_work` gave.
        """
        from deliverylab.core.workflow.ball import ball_change

        name, camera = self._needs_camera(side)
        if not found.is_found:
            return Searched(is_found=False, said=f"Not found: {found.reason}.")
        self._do(ball_change(self.project.delivery(name), camera, found))
        rows = found.rows.tolist()
        return Searched(
            is_found=True, said=f"Found in {len(rows)} frames, {rows[0]} to {rows[-1]}."
        )

    def first_ball_frame(self, side: Side) -> int:
        """Return the frame in which the ball is first to be placed by hand: the one after release."""
        camera = self.camera(side)
        mark = camera.marks.get("release") if camera is not None else None
        if camera is None or mark is None:
            return self._sides[side].frame
        return min(camera.timing.frame_at(mark.time_s) + 1, camera.end_frame)

    def take_ball_away(self, side: Side) -> None:
        """Take all positions of the ball away."""
        delivery, camera = self._needs_camera(side)
        places: dict[int, Position | None] = {frame: None for frame, _ in camera.track("ball")}
        if places:
            positions = {"ball": places}
            self._do(
                SetPositions(
                    delivery=delivery,
                    camera=camera.name,
                    positions=positions,
                    what="Take the ball away",
                )
            )

    def ball_said(self, side: Side) -> BallSaid:
        """Return what the ball on a stage says."""
        camera, delivery = self.camera(side), self.delivery(side)
        if camera is None or delivery is None:
            return BallSaid(places="")
        frames = camera.track("ball").frames.tolist()
        places = (
            f"Placed in {len(frames)} frames, {frames[0]} to {frames[-1]}."
            if len(frames) > 1
            else "Placed in one frame."
            if frames
            else "Not placed yet."
        )
        results = {
            one.metric: one
            for one in self.results(side)
            if one.metric in {BALL_SPEED, "ball_speed"} and one.camera in {camera.name, ""}
        }
        measured, given = results.get(BALL_SPEED), results.get("ball_speed")
        radar = ""
        if given is not None and given.is_shown:
            radar = " ".join(of_result(given, self.unit_system))
        if not frames or measured is None:
            return BallSaid(places=places, is_placed=bool(frames), radar=radar)
        offer = self._rate_by_ball(side)
        if not measured.is_shown:
            text = f"{sentence(measured.reason)} {sentence(measured.remedy)}"
            return BallSaid(places=places, is_placed=True, radar=radar, verdict=text, offer=offer)
        verdict, level = self._ball_verdict(side, measured, delivery)
        return BallSaid(
            places=places,
            is_placed=True,
            speed=" ".join(of_result(measured, self.unit_system)),
            radar=radar,
            verdict=verdict,
            level=level,
            offer=offer,
        )

    def _ball_verdict(self, side: Side, measured: Result, delivery: Delivery) -> tuple[str, str]:
        """Return whether clip and radar agree, as a sentence and a level."""
        from deliverylab.core.metrics.ball_results import radar_check

        _, camera = self._needs_camera(side)
        check = radar_check(measured, delivery, camera)
        if check is not None and check.is_agreeing:
            return "Clip and radar agree within their ±.", "good"
        if check is not None:
            return f"Clip and radar do not agree: {check.hint}.", "caution"
        doubt = next((one for one in measured.cautions if "hardest" in one), "")
        if doubt:
            return sentence(doubt), "caution"
        return "With a radar reading among the facts the two are compared.", "note"

    def _rate_by_ball(self, side: Side) -> Offer | None:
        matters = self.time_matters(side)
        return next((matter.offer for matter in matters if matter.kind == BY_BALL), None)

    # -------------------------------------------------------------------------- a falling ball

    def fall_said(self, side: Side, first_frame: int, last_frame: int) -> FallSaid:
        """Return what a ball that falls in these frames says of scale and capture rate.

        Raises
        ------
        DeliveryLabError
            It cannot be worked out yet, and what is missing.
        """
        from deliverylab.core.metrics.ball_fall import fall_check
        from deliverylab.core.metrics.spec import COVERAGE_FACTOR
        from deliverylab.core.workflow.clip_times import rate_offer, stepped_rate_hz

        name, camera = self._needs_camera(side)
        delivery = self.project.delivery(name)
        check = fall_check(delivery, camera, first_frame, last_frame)
        expanded_u = COVERAGE_FACTOR * check.u_m_s2
        # a time base that is far off makes both small; a ± of 0.00 would say nothing
        decimals = max(2, math.ceil(-math.log10(expanded_u))) if expanded_u > 0.0 else 2
        said = f"Your g is {check.g_m_s2:.{decimals}f} ± {expanded_u:.{decimals}f} m/s²"
        if check.is_agreeing:
            share = expanded_u / check.g_m_s2
            meaning = (
                "9.81 is right, and lies within your ±: lengths, and times squared, are right to "
                f"{share:.0%} together."
            )
        else:
            meaning = f"9.81 would be right. {sentence(check.hint)}"
        if check.is_agreeing and check.hint:
            meaning += f" {sentence(check.hint)}"
        rate_hz = stepped_rate_hz(camera, check.rate_factor)
        offer = None
        if rate_hz is not None:
            reason = "g would come out right"
            offer = rate(rate_offer(delivery, camera, rate_hz, "capture rate by fall", reason))
        return FallSaid(
            verdict=said,
            meaning=meaning,
            level="good" if check.is_agreeing else "caution",
            offer=offer,
        )

    def fall_work(
        self, side: Side, first_frame: int, last_frame: int
    ) -> Callable[[Report], BallFlight]:
        """Return the work that looks for a falling ball in these frames."""
        name, camera = self._needs_camera(side)
        delivery, path = self.project.delivery(name), self.path
        frames = (first_frame, last_frame)

        def work(report: Report) -> BallFlight:
            from deliverylab.core.workflow.ball import look_for_fall

            return look_for_fall(delivery, camera, path, frames, progress=report)

        return work

    def ball_step(self, first_frame: int, last_frame: int) -> int:
        """Return every how many frames a falling ball is placed: about ten places make a parabola."""
        return max(1, math.floor((last_frame - first_frame) / 10))
