"""What the times of a clip are worth, and what can be done about them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from deliverylab.core.model.changes import Change
from deliverylab.shell.session_deliveries import SessionDeliveries
from deliverylab.shell.session_state import Side

if TYPE_CHECKING:
    from deliverylab.core.video.probe import ProbeReport
    from deliverylab.core.workflow.clip_times import TimeOffer

BY_BALL = "capture rate by ball"
Report = Callable[[float], None]


@dataclass(frozen=True, kw_only=True)
class Offer:
    """Something that can be done at the press of a button, and undone.

    Attributes
    ----------
    button, said : str
        What the button says; what is said once it is done.
    change : Change
        What it does.
    capture_rate_hz : float or None
        The rate that it sets.
    """

    button: str
    said: str
    change: Change
    capture_rate_hz: float | None = None


@dataclass(frozen=True, kw_only=True)
class Matter:
    """One thing about a clip's time: what is so, what follows, and what can be done about it.

    Attributes
    ----------
    kind : str
        What the offer rests on, as the core names it.
    title, text, level : str
        For a person; ``note`` or ``caution``.
    offer : Offer or None
        What can be done.
    """

    kind: str
    title: str
    text: str
    level: str = "note"
    offer: Offer | None = None


class SessionFilm(SessionDeliveries):
    """Answers and intents about the times of a stage's clip."""

    def time_matters(self, side: Side) -> tuple[Matter, ...]:
        """Return what is to be known about a clip's time, each with what can be done about it."""
        delivery, camera = self.delivery(side), self.camera(side)
        if delivery is None or camera is None:
            return ()
        from deliverylab.core.workflow.clip_times import rate_by_ball_hz, time_offers

        by_ball_hz = rate_by_ball_hz(delivery, camera)
        offers = time_offers(delivery, camera.name, rate_by_ball_hz=by_ball_hz)
        return tuple(self._matter(side, offer) for offer in offers)

    def _matter(self, side: Side, offer: TimeOffer) -> Matter:
        _, camera = self._needs_camera(side)
        timing = camera.timing
        if offer.kind == "as stored" and timing.repair is not None:
            return Matter(
                kind=offer.kind,
                title="times repaired",
                text=sentence(timing.repair.note),
                offer=Offer(
                    button="Measure as stored",
                    said="Times are measured as they are stored in the file.",
                    change=offer.change,
                ),
            )
        if offer.kind == "trust":
            text = " ".join(
                f"{sentence(one.reason)} {sentence(one.remedy)}" for one in timing.doubts
            )
            return Matter(
                kind=offer.kind,
                title="speeds are withheld",
                text=text,
                level="caution",
                offer=Offer(
                    button="Trust the clip",
                    said="The clip's times are trusted, and speeds are shown.",
                    change=offer.change,
                ),
            )
        is_by_ball = offer.kind == BY_BALL
        title = "the ball does not fit the radar" if is_by_ball else "foot contact to release"
        return Matter(
            kind=offer.kind,
            title=title,
            text=sentence(offer.text),
            level="caution",
            offer=rate(offer),
        )

    def accept(self, offer: Offer) -> None:
        """Do what was offered."""
        self._do(offer.change)

    def read_out_s(self, side: Side) -> tuple[float, float]:
        """Return how long a picture is read out, and its u: real seconds; 0 is off."""
        camera = self.camera(side)
        if camera is None:
            return 0.0, 0.0
        return camera.row_time_s * camera.height_px, camera.u_row_time_s * camera.height_px

    def set_read_out(self, side: Side, read_out_s: float, u_read_out_s: float) -> None:
        """Say how long a picture is read out from its first row to its last; 0 turns it off.

        Raises
        ------
        InputValueError
            No camera is so slow.
        """
        from deliverylab.core.model.timing_changes import SetRowTime

        delivery, camera = self._needs_camera(side)
        self._do(
            SetRowTime(
                delivery=delivery,
                camera=camera.name,
                row_time_s=read_out_s / camera.height_px,
                u_row_time_s=u_read_out_s / camera.height_px,
            )
        )

    def look_work(self, side: Side) -> Callable[[Report], ProbeReport] | None:
        """Return the work that looks a clip over anew; None where there is no clip to look at."""
        path = self.clip_path(side)
        if path is None:
            return None

        def work(report: Report) -> ProbeReport:
            from deliverylab.core.video.probe import probe

            def progress(share: float) -> bool:
                report(share)
                return True

            return probe(path, progress=progress)

        return work

    def take_look(self, side: Side, report: Any) -> bool:
        """Measure by what a look over the clip found; return whether that is anything new."""
        from deliverylab.core.model.timing_changes import SetTiming
        from deliverylab.core.workflow.clip_times import looked_over

        delivery, camera = self._needs_camera(side)
        timing = looked_over(camera.timing, report)
        self._do(
            SetTiming(
                delivery=delivery, camera=camera.name, timing=timing, what="Look the clip over"
            )
        )
        return timing != camera.timing


def rate(offer: TimeOffer) -> Offer:
    """Return the offer of a capture rate as a button."""
    hz = f"{offer.capture_rate_hz:.6g}"
    return Offer(
        button=f"Set {hz} a second",
        said=f"The clip counts as captured at {hz} a second.",
        change=offer.change,
        capture_rate_hz=offer.capture_rate_hz,
    )


def sentence(text: str) -> str:
    """Return text with a capital at its start and a stop at its end."""
    if not text:
        return ""
    return f"{text[:1].upper()}{text[1:]}{'' if text[-1] in '.?!' else '.'}"
