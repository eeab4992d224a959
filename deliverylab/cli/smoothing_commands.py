"""``smooth``: how much placed points scatter, and which cut-off suits them."""

from __future__ import annotations

import argparse
import json
from typing import TYPE_CHECKING, Any

from deliverylab.cli.options import add_delivery
from deliverylab.cli.output import check_targets, columns, deliver, note, say, say_wrapped

if TYPE_CHECKING:
    from deliverylab.core.metrics.scatter import LandmarkScatter

_TEXT = """\
Analyse the positions of one landmark: how much they scatter from frame to frame, beside the u that is
assumed for them, and the cut-off at which a zero-lag Butterworth low-pass takes out as much noise as
it leaves movement in (residual analysis). Needs some 40 frames in a row, evenly spaced in time."""


def add_commands(commands: Any) -> None:
    """Add ``smooth``."""
    smooth = commands.add_parser(
        "smooth",
        help="how much placed points scatter, and which cut-off suits them",
        description=_TEXT,
    )
    add_delivery(smooth)
    smooth.add_argument(
        "--landmark", metavar="KEY", required=True, help="which landmark, like left_knee"
    )
    smooth.add_argument(
        "--json",
        metavar="FILE",
        help='write figures and curve as JSON; "-" prints them in place of the text',
    )
    smooth.add_argument("--png", metavar="FILE.png", help="draw the residual over cut-offs")
    smooth.set_defaults(run=_smooth)


def _smooth(arguments: argparse.Namespace) -> int:
    from deliverylab.core.metrics.scatter import landmark_scatter, spline_scatter_px
    from deliverylab.core.model.project import Project
    from deliverylab.core.store.clips import files_of
    from deliverylab.core.store.projectfile import load_project

    project = Project(load_project(arguments.project))
    check_targets(arguments.json, arguments.png, inputs=files_of(project.record, arguments.project))
    delivery = project.delivery(arguments.delivery)
    camera = delivery.camera(arguments.camera)
    found = landmark_scatter(delivery, camera, arguments.landmark)
    spline_px = spline_scatter_px(camera, arguments.landmark)
    is_printed = deliver(lambda: _as_json(found, spline_px), arguments.json)
    if not is_printed:
        _say_scatter(found, spline_px)
    if arguments.png:
        from deliverylab.core.report.residual_plot import write_residual_plot

        note(f"written: {write_residual_plot(found, arguments.png)}")
    return 0


def _as_json(found: LandmarkScatter, spline_px: float) -> str:
    analysis = found.analysis
    row = {
        "delivery": found.delivery,
        "camera": found.camera,
        "landmark": found.landmark,
        "n_frames": analysis.n_samples,
        "n_by_hand": found.n_by_hand,
        "rate_hz": found.rate_hz,
        "scatter_px": found.scatter_px,
        "scatter_m": found.scatter_m,
        "spline_scatter_px": spline_px,
        "assumed_u_px": found.assumed_u_px,
        "cutoff_hz": analysis.cutoff_hz,
        "usual_cutoff_hz": found.band.cutoff_hz,
        "usual_cutoff_source": found.band.source,
        "smoothed_u_px": found.smoothed_u_px,
        "n_unreliable_at_each_end": found.n_unreliable,
        "intercept_px": analysis.intercept,
        "slope_px_per_hz": analysis.slope,
        "line_hz": list(analysis.line_hz),
        "cutoffs_hz": analysis.cutoffs_hz.tolist(),
        "residuals_px": analysis.residuals.tolist(),
    }
    return json.dumps(row, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _say_scatter(found: LandmarkScatter, spline_px: float) -> None:
    analysis = found.analysis
    say(f"{found.delivery}, {found.camera}, {found.landmark}")
    in_mm = "" if found.scatter_m is None else f" ({1000.0 * found.scatter_m:.0f} mm)"
    chosen = "none found" if analysis.cutoff_hz is None else f"{analysis.cutoff_hz:.1f} Hz"
    rows = [
        ("frames", f"{analysis.n_samples} at {found.rate_hz:.0f} a second"),
        ("placed by hand", f"{found.n_by_hand}"),
        ("scatter from frame to frame", f"{found.scatter_px:.1f} px{in_mm}"),
        ("the same by a smoothing spline", f"{spline_px:.1f} px"),
        ("assumed u", f"{found.assumed_u_px:.1f} px"),
        ("suggested cut-off", chosen),
        ("usual cut-off", f"{found.band.cutoff_hz:.0f} Hz ({found.band.source})"),
        ("scatter left after filtering", f"{found.smoothed_u_px:.1f} px"),
        ("unreliable at each end", f"{found.n_unreliable} frames"),
    ]
    columns(rows, indent=2)
    say_wrapped(f"{found.words}.", indent=2)
