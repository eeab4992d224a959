"""Solved cameras and their clocks in plain text, and as JSON."""

from __future__ import annotations

import json
import math
from dataclasses import asdict
from typing import Any

from deliverylab.cli.output import columns, counted, say, say_wrapped
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.space import ControlResidual, SetUpFinding, SpaceSolution
from deliverylab.core.units import UnitSystem, format_number, format_value
from deliverylab.core.vocabulary.views import view
from deliverylab.core.workflow.space_alone import AloneOutcome
from deliverylab.core.workflow.space_clocks import ClockByMarks
from deliverylab.core.workflow.space_facts import StoodAt, solved_stands
from deliverylab.core.workflow.space_residuals import limb_lengths, worst_places
from deliverylab.core.workflow.space_sound import ClockBySound
from deliverylab.core.workflow.space_sync import ClockCurve

_N_WORST = 10
_N_BARS = 25
_BAR = 40
_TRUST = {
    "good": "good",
    "doubtful": "doubtful; below 0.5° is good",
    "refused": "too much to show anything",
}


def say_solution(delivery: Delivery, system: UnitSystem) -> None:
    """Print what a solve found: where cameras stood, clocks, quality, residuals, findings."""
    space = delivery.space
    if space is None:
        return
    others = [name for name in space.deliveries if name != delivery.name]
    say(f"{delivery.name}" + (f", solved together with {', '.join(others)}" if others else ""))
    for stood in solved_stands(delivery):
        _say_stood(stood, system)
    for solved in space.cameras[1:]:
        u_ms = 2e3 * space.u_offset_s(solved.name)
        say(
            f"  clock of {solved.name}: add {format_number(1e3 * solved.offset_s, 2)} ± {u_ms:.2f} "
            f"ms for that of {space.cameras[0].name}"
        )
    if space.worst_deg is not None:
        say(
            f"  the cameras leave directions of the body unsure by {space.worst_deg:.2f}° "
            f"({_TRUST[space.trust]})"
        )
    _say_residuals(space.residuals)
    _say_worst(delivery)
    _say_findings(space.findings)


def say_alone(delivery: str, outcome: AloneOutcome, system: UnitSystem) -> None:
    """Print what is found of one camera that was solved alone."""
    say(delivery)
    _say_stood(outcome.stood, system)
    _say_residuals(outcome.residuals)
    _say_findings(outcome.findings)


def _say_stood(stood: StoodAt, system: UnitSystem) -> None:
    facts, u = stood.facts, stood.u
    say_wrapped(
        f"{stood.camera}: {format_value(facts.distance_m, 2 * u.distance_m, 'm', 2, system)} away, "
        f"lens {format_value(facts.height_m, 2 * u.height_m, 'm', 2, system)} above the rubber, "
        f"{format_value(facts.yaw_deg, 2 * u.yaw_deg, 'deg', 1)} off square ({view(stood.view).name}), "
        f"pitch {format_value(facts.pitch_deg, 2 * u.pitch_deg, 'deg', 1)}, "
        f"roll {format_value(facts.roll_deg, 2 * u.roll_deg, 'deg', 1)}, "
        f"focal length {facts.focal_px:.0f} ± {2 * u.focal_px:.0f} px",
        indent=2,
    )


def _say_residuals(residuals: tuple[ControlResidual, ...]) -> None:
    rows = [("point", "camera", "px", "mm", "against its u")]
    rows += [
        (
            each.point,
            each.camera,
            f"{each.gap_px:.1f}",
            f"{each.gap_mm:.0f}",
            "not checked" if each.studentised is None else f"{each.studentised:.1f}",
        )
        for each in residuals
    ]
    columns(rows, indent=2)


def _say_worst(delivery: Delivery) -> None:
    """Print the positions that the clips contradict each other about, and the limbs' lengths."""
    worst = worst_places(delivery)
    if worst:
        say(f"  positions to look at again, worst first ({len(worst)} in all):")
    for place in worst[:_N_WORST]:
        frames = ", ".join(f"{name} frame {frame}" for name, frame in place.frames.items())
        say(f"    {place.landmark}: {frames}; off by {place.misfit:.1f} u, most in {place.camera}")
    limbs = limb_lengths(delivery)
    if limbs:
        spread = math.sqrt(sum(each.spread_m**2 for each in limbs) / len(limbs))
        say(f"  limbs keep their lengths to {1e3 * spread:.0f} mm (one standard deviation)")


def _say_findings(findings: tuple[SetUpFinding, ...]) -> None:
    for found in findings:
        where = f" ({found.where})" if found.where else ""
        say_wrapped(f"{found.severity}: {found.what}{where}: {found.remedy}", indent=2)


def say_curve(delivery: str, found: ClockCurve, *, is_heard: bool = False) -> None:
    """Print a clock's offset, what else is known of it, and the curve as bars."""
    curve = found.curve
    say(f"{delivery}: clock of {found.camera} against {found.first}")
    rows = [
        ("lowest point", _offset(curve.offset_s, curve.u_offset_s)),
        ("by the solve", _offset(found.solved_s, found.u_solved_s)),
    ]
    if found.marked is None:
        rows.append(("by event marks", "no event is marked in both clips"))
    else:
        n_events = counted(len(found.marked.events), "event")
        rows.append(("by event marks", f"{_agreeing(found, found.marked)}; {n_events}"))
    if found.heard is not None:
        rows.append(("by a sharp sound", _agreeing(found, found.heard)))
    elif is_heard:
        rows.append(("by a sharp sound", "no clip, no sound, or not one sharp sound in both"))
    columns(rows, indent=2)
    say("  shift, ms   lines of sight miss by, u")
    misses: list[float] = curve.misses.tolist()
    most = max(miss for miss in misses if math.isfinite(miss))
    for row in range(0, len(misses), max(1, len(misses) // _N_BARS)):
        miss = misses[row]
        bar = "" if math.isnan(miss) else "#" * max(1, round(_BAR * miss / most))
        told = "too little overlap" if math.isnan(miss) else f"{miss:5.1f} {bar}"
        say(f"  {1e3 * float(curve.shifts_s[row]):9.0f}   {told}")


def _agreeing(found: ClockCurve, other: ClockByMarks | ClockBySound) -> str:
    e_n = found.agreement(other)
    agrees = "agrees" if e_n <= 1.0 else "does not agree"
    return f"{_offset(other.offset_s, other.u_s)}, {agrees} (E_n {e_n:.1f})"


def _offset(offset_s: float, u_s: float) -> str:
    return f"{format_number(1e3 * offset_s, 2)} ± {format_number(2e3 * u_s, 2)} ms"


def solution_json(delivery: Delivery) -> str:
    """Return all that a delivery keeps of its solve, SI and degrees."""
    space = delivery.space
    if space is None:
        return _json({"delivery": delivery.name})
    return _json(
        {
            "delivery": delivery.name,
            "deliveries": list(space.deliveries),
            "is_refused": space.is_refused,
            "trust": space.trust,
            "worst_deg": space.worst_deg,
            "field_misfit": space.field_misfit,
            "body_misfit": space.body_misfit,
            "has_body": space.has_body,
            "n_starts": space.n_starts,
            "n_agreeing": space.n_agreeing,
            "cameras": [_stood(stood) for stood in solved_stands(delivery)],
            "clocks": _clocks(space),
            "points_m": {key: list(place) for key, place in space.points_m.items()},
            "residuals": [_residual(each) for each in space.residuals],
            "findings": [_finding(each) for each in space.findings],
            "worst_places": [asdict(each) for each in worst_places(delivery)],
            "limbs": [asdict(each) for each in limb_lengths(delivery)],
        }
    )


def alone_json(delivery: str, outcome: AloneOutcome) -> str:
    """Return what is found of one camera that was solved alone."""
    return _json(
        {
            "delivery": delivery,
            "is_refused": outcome.is_refused,
            "cameras": [_stood(outcome.stood)],
            "residuals": [_residual(each) for each in outcome.residuals],
            "findings": [_finding(each) for each in outcome.findings],
        }
    )


def sync_json(delivery: str, curves: tuple[ClockCurve, ...]) -> str:
    """Return the curves with all that is known of the offsets."""
    return _json(
        [
            {
                "delivery": delivery,
                "camera": found.camera,
                "first": found.first,
                "offset_s": found.curve.offset_s,
                "u_offset_s": _finite(found.curve.u_offset_s),
                "solved_s": found.solved_s,
                "u_solved_s": found.u_solved_s,
                "marks_s": None if found.marked is None else found.marked.offset_s,
                "u_marks_s": None if found.marked is None else found.marked.u_s,
                "marked_events": [] if found.marked is None else list(found.marked.events),
                "e_n": found.e_n,
                "sound_s": None if found.heard is None else found.heard.offset_s,
                "u_sound_s": None if found.heard is None else found.heard.u_s,
                "shifts_s": found.curve.shifts_s.tolist(),
                "misses_u": [_finite(miss) for miss in found.curve.misses.tolist()],
            }
            for found in curves
        ]
    )


def _clocks(space: SpaceSolution) -> list[dict[str, Any]]:
    return [
        {
            "camera": solved.name,
            "offset_s": solved.offset_s,
            "u_offset_s": space.u_offset_s(solved.name),
        }
        for solved in space.cameras
    ]


def _stood(stood: StoodAt) -> dict[str, Any]:
    return {
        "camera": stood.camera,
        "view": stood.view,
        **asdict(stood.facts),
        **{f"u_{key}": value for key, value in asdict(stood.u).items()},
    }


def _residual(each: ControlResidual) -> dict[str, Any]:
    return {
        "point": each.point,
        "camera": each.camera,
        "clicked_px": list(each.clicked),
        "projected_px": list(each.projected),
        "gap_px": each.gap_px,
        "gap_mm": each.gap_mm,
        "studentised": each.studentised,
    }


def _finding(found: SetUpFinding) -> dict[str, str]:
    return {
        "key": found.key,
        "severity": found.severity,
        "what": found.what,
        "where": found.where,
        "remedy": found.remedy,
    }


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _json(value: Any) -> str:
    return json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
