"""What the cameras on the field say: points to click, how far a solve can be trusted, where phones stood."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import TYPE_CHECKING

from deliverylab.core.cameras.diagnosis import DOUBTFUL_STUDENTISED
from deliverylab.core.cameras.quality import WARN_DEG
from deliverylab.core.metrics.spec import COVERAGE_FACTOR
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.field import FieldSetUp
from deliverylab.core.model.space import ControlResidual, SetUpFinding, SpaceSolution
from deliverylab.core.units import INCH_M, UnitSystem, format_value
from deliverylab.core.vocabulary.field import FOOT_M
from deliverylab.shell.session_film import sentence

if TYPE_CHECKING:
    from deliverylab.core.workflow.space_alone import AloneOutcome
    from deliverylab.core.workflow.space_facts import StoodAt
    from deliverylab.core.workflow.space_freshness import OutOfDate
    from deliverylab.core.workflow.space_sync import ClockCurve

TRUST_WORDS = {"good": "Good", "doubtful": "Doubtful"}
LEGEND = (
    f"◆ fits least. Above {DOUBTFUL_STUDENTISED:g} times its u a click, or the place of its point, "
    "deserves a look. Small misses alone are no proof of good cameras: the degrees above are."
)
OUT_OF_DATE = {
    "field": "Clicks, field or phones are others now than those that were solved. Solve again.",
    "body": "Landmarks or marks were placed since: that changes little. Solve again at the end.",
}


@dataclass(frozen=True, kw_only=True)
class Said:
    """A verdict: a strong line, what it means, and ``good``, ``note`` or ``caution``."""

    strong: str
    more: str = ""
    level: str = "note"


@dataclass(frozen=True, kw_only=True)
class PointRow:
    """A point of the field as one picture shows it.

    Attributes
    ----------
    key, name : str
    number : int
        In the order in which points are asked for, from 1.
    state : {"clicked", "asked", "skipped", "open"}
    text : str
        What a solve leaves of its click, in words; empty before.
    is_worst : bool
        Whether it leaves the most of all clicks.
    """

    key: str
    name: str
    number: int
    state: str
    text: str = ""
    is_worst: bool = False


def next_point(field: FieldSetUp, camera: Camera, skipped: Collection[str], after: str = "") -> str:
    """Return the point to click next in a picture, the first open one behind `after`; or empty."""
    keys = [point.key for point in field.points]
    start = keys.index(after) + 1 if after in keys else 0
    return next(
        (
            key
            for key in (*keys[start:], *keys[:start])
            if key not in camera.control and key not in skipped
        ),
        "",
    )


def n_clicked(field: FieldSetUp, camera: Camera) -> int:
    """Return how many points of the field are clicked in a picture."""
    return sum(point.key in camera.control for point in field.points)


def counted(field: FieldSetUp, camera: Camera) -> str:
    """Return how many points are clicked in a picture, as words."""
    return f"{n_clicked(field, camera)} of {len(field.points)}"


def prompt(field: FieldSetUp, key: str) -> str:
    """Return what the stage asks for: the point's number and name."""
    numbers = {point.key: number for number, point in enumerate(field.points, 1)}
    return f"Click {numbers[key]}: {field.point(key).name}"


def point_rows(
    field: FieldSetUp,
    camera: Camera,
    space: SpaceSolution | None,
    asked: str,
    skipped: Collection[str],
    system: UnitSystem,
) -> tuple[PointRow, ...]:
    """Return all points of the field as one picture shows them."""
    left = {one.point: one for one in residuals_of(space, camera.name)}
    worst = worst_residual(space)
    rows = []
    for number, point in enumerate(field.points, 1):
        residual = left.get(point.key)
        is_clicked = point.key in camera.control
        state = "clicked" if is_clicked else "skipped" if point.key in skipped else "open"
        rows.append(
            PointRow(
                key=point.key,
                name=point.name,
                number=number,
                state="asked" if point.key == asked else state,
                text=gap_text(residual, system) if residual and is_clicked else "",
                is_worst=residual is not None and residual is worst,
            )
        )
    return tuple(rows)


def residuals_of(space: SpaceSolution | None, camera: str) -> tuple[ControlResidual, ...]:
    """Return what a solve leaves of the clicks in one picture."""
    return tuple(one for one in space.residuals if one.camera == camera) if space else ()


def worst_residual(space: SpaceSolution | None) -> ControlResidual | None:
    """Return the click that fits least, against its u; None without any that is checked."""
    checked = [one for one in space.residuals if one.studentised is not None] if space else []
    return max(checked, key=lambda one: abs(one.studentised or 0.0), default=None)


def stands_out(residual: ControlResidual) -> bool:
    """Whether a click fits so badly that it deserves a look."""
    return residual.studentised is not None and abs(residual.studentised) > DOUBTFUL_STUDENTISED


def gap_text(residual: ControlResidual, system: UnitSystem) -> str:
    """Return how far a click is from where the solve puts its point."""
    return f"{residual.gap_px:.1f} px · {small_length(1e-3 * residual.gap_mm, system)}"


def small_length(length_m: float, system: UnitSystem) -> str:
    """Return a length of millimetres in the reader's units."""
    if system == "imperial":
        return f"{length_m / INCH_M:.2f} in"
    return f"{1e3 * length_m:.0f} mm" if length_m >= 0.0095 else f"{1e3 * length_m:.1f} mm"


def far(length_m: float, expanded_u_m: float, system: UnitSystem) -> str:
    """Return a distance on the field with its ±: metres, or feet, where inches would be many."""
    if system == "metric":
        return format_value(length_m, expanded_u_m, "m", 2)
    return f"{length_m / FOOT_M:.1f} ± {expanded_u_m / FOOT_M:.1f} ft"


def click_table(
    field: FieldSetUp, space: SpaceSolution, system: UnitSystem
) -> list[tuple[str, ...]]:
    """Return what every click leaves, as cells of a table; before each picture's its name alone."""
    order = {point.key: number for number, point in enumerate(field.points, 1)}
    names = {point.key: point.name for point in field.points}
    worst = worst_residual(space)
    rows: list[tuple[str, ...]] = []
    for camera in space.cameras:
        rows.append(("", camera.name))
        left = residuals_of(space, camera.name)
        rows.extend(
            (
                str(order.get(one.point, "")),
                names.get(one.point, one.point.replace("_", " ")),
                f"{one.gap_px:.1f}",
                small_length(1e-3 * one.gap_mm, system),
                "" if one.studentised is None else f"{abs(one.studentised):.1f}",
                "◆" if one is worst else "",
            )
            for one in sorted(left, key=lambda one: order.get(one.point, 0))
        )
    return rows


def alone(outcome: AloneOutcome, system: UnitSystem) -> Said:
    """Say what came of a camera that was solved by itself."""
    if outcome.is_refused:
        return Said(
            strong="Refused: nothing is taken from this phone",
            more="What is wrong and what to add stands below.",
            level="caution",
        )
    told = dict(stood(outcome.stood, system))
    return Said(
        strong=f"This phone stood {told['away']} away, {told['off square']} off square",
        more="Its scale follows from that. Joint angles in space need the second phone.",
        level="caution" if outcome.findings else "good",
    )


def quality(space: SpaceSolution, freshness: OutOfDate) -> Said:
    """Say how far a solve can be trusted, and whether it still holds."""
    if space.is_refused:
        return Said(
            strong="Refused: nothing is shown from these cameras",
            more="What is wrong and what to add stands below.",
            level="caution",
        )
    level, trust = "good", space.trust
    if any(one.severity == "doubtful" for one in space.findings):
        trust = "doubtful"
    if trust == "doubtful":
        level = "caution"
    more = f"Below {WARN_DEG:g}° is good; it is part of every ±."
    if freshness:
        level, more = "caution" if freshness == "field" else level, OUT_OF_DATE[freshness]
    unsure = "" if space.worst_deg is None else f": directions unsure by {space.worst_deg:.2f}°"
    return Said(strong=f"{TRUST_WORDS[trust]}{unsure}", more=more, level=level)


def finding(found: SetUpFinding) -> Said:
    """Say what is wrong, where, and what to do."""
    strong = f"{found.what[:1].upper()}{found.what[1:]}"
    text = f"{sentence(found.where)} {sentence(found.remedy)}".strip()
    return Said(strong=strong, more=text, level="caution")


def evidence(delivery: Delivery, space: SpaceSolution) -> str:
    """Say what a solve rests on."""
    n_points = len({one.point for one in space.residuals})
    rests = f"{len(space.residuals)} clicks on {n_points} points"
    rests += ", and the body's own movement" if space.has_body else ", without the body's movement"
    others = [name for name in space.deliveries if name != delivery.name]
    if others:
        rests += f"; solved together with {', '.join(others)}"
    return sentence(f"{rests}; {space.n_agreeing} of {space.n_starts} starts led here")


def stood(at: StoodAt, system: UnitSystem) -> tuple[tuple[str, str], ...]:
    """Return where a phone stood as pairs of name and value with its ±."""
    facts, u = at.facts, at.u
    k = COVERAGE_FACTOR
    return (
        ("away", far(facts.distance_m, k * u.distance_m, system)),
        ("lens above the rubber", far(facts.height_m, k * u.height_m, system)),
        ("off square", format_value(facts.yaw_deg, k * u.yaw_deg, "deg", 1)),
        ("tilted up", format_value(facts.pitch_deg, k * u.pitch_deg, "deg", 1)),
        ("rolled", format_value(facts.roll_deg, k * u.roll_deg, "deg", 1)),
    )


def clock(name: str, first: str, offset_s: float, u_s: float) -> str:
    """Say how two clips' clocks go together."""
    late = "later" if offset_s >= 0.0 else "earlier"
    return (
        f"{name} began {abs(1e3 * offset_s):.2f} ± {COVERAGE_FACTOR * 1e3 * u_s:.2f} ms {late} "
        f"than {first}"
    )


def clock_by_marks(curve: ClockCurve) -> str:
    """Say what event marks tell of the same clocks, and whether both agree."""
    if curve.marked is None or curve.e_n is None:
        return "No event is marked in both clips, so nothing else checks it."
    u_ms = COVERAGE_FACTOR * 1e3 * curve.marked.u_s
    late = "later" if curve.marked.offset_s >= 0.0 else "earlier"
    offset_ms = abs(1e3 * curve.marked.offset_s)
    agrees = "agree within their ±" if curve.e_n <= 1.0 else "do not agree"
    n_events = len(curve.marked.events)
    by = "1 event" if n_events == 1 else f"{n_events} events"
    return f"By {by} marked in both clips {offset_ms:.1f} ± {u_ms:.1f} ms {late}: the two {agrees}."


def clock_by_sound(curve: ClockCurve) -> str:
    """Say what a sharp sound in both clips tells of their clocks; empty where none was heard."""
    if curve.heard is None:
        return ""
    late = "later" if curve.heard.offset_s >= 0.0 else "earlier"
    u_ms = COVERAGE_FACTOR * 1e3 * curve.heard.u_s
    agrees = "agrees" if curve.agreement(curve.heard) <= 1.0 else "does not agree"
    return f"By a sharp sound {abs(1e3 * curve.heard.offset_s):.1f} ± {u_ms:.1f} ms {late}: it {agrees}."
