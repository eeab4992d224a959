"""What a stage shows and asks for while the field is clicked, and the drawing beside it."""

from __future__ import annotations

from dataclasses import dataclass

from deliverylab.core.model.delivery import Camera
from deliverylab.core.model.field import FieldSetUp
from deliverylab.core.model.space import ControlResidual, SpaceSolution
from deliverylab.core.units import UnitSystem
from deliverylab.shell import field_content
from deliverylab.shell.drawing.field_key import KeyPoint
from deliverylab.shell.drawing.field_marks import FieldMark
from deliverylab.shell.drawing.handles import Handle
from deliverylab.shell.field_edits import places_m


@dataclass(frozen=True, kw_only=True)
class FieldRequest:
    """What the stage is to show and to ask for.

    Attributes
    ----------
    prompt, hint : str
        What is asked for, or empty; and what is said where nothing is.
    handles, marks : tuple
        What can be dragged, and how it is drawn.
    current : str
        The point that arrow keys move; or empty.
    near_px : tuple of float or None
        About where the point asked for must be, after others that are clicked.
    """

    prompt: str = ""
    hint: str = "drag a point to move it"
    handles: tuple[Handle, ...] = ()
    marks: tuple[FieldMark, ...] = ()
    current: str = ""
    near_px: tuple[float, float] | None = None


def field_request(
    field: FieldSetUp,
    camera: Camera,
    space: SpaceSolution | None,
    asked: str,
    last: str,
    system: UnitSystem,
) -> FieldRequest:
    """Return what a clip's stage is to show: its clicks, what a solve leaves of them, what is next."""
    left = {one.point: one for one in field_content.residuals_of(space, camera.name)}
    worst = field_content.worst_residual(space)
    handles, marks = [], []
    for number, point in enumerate(field.points, 1):
        click = camera.control.get(point.key)
        if click is not None:
            at = (click.x_px, click.y_px)
            handles.append(
                Handle(key=point.key, name=point.name, x_px=at[0], y_px=at[1], is_bare=True)
            )
            marks.append(_mark(str(number), at, left.get(point.key), worst, system))
    return FieldRequest(
        prompt=field_content.prompt(field, asked) if asked else "",
        handles=tuple(handles),
        marks=tuple(marks),
        current=last if last in camera.control else "",
        near_px=_near(field, camera, asked),
    )


def _mark(
    tag: str,
    at: tuple[float, float],
    left: ControlResidual | None,
    worst: ControlResidual | None,
    system: UnitSystem,
) -> FieldMark:
    """Return how a click is drawn; of one that was moved since, the solve says nothing."""
    if left is None or tuple(left.clicked) != at:
        return FieldMark(x_px=at[0], y_px=at[1], tag=tag)
    is_odd = left is worst and field_content.stands_out(left)
    return FieldMark(
        x_px=at[0],
        y_px=at[1],
        tag=tag,
        projected_px=(left.projected.x_px, left.projected.y_px),
        is_worst=left is worst,
        text=f"does not fit: {field_content.gap_text(left, system)}" if is_odd else "",
    )


def _near(field: FieldSetUp, camera: Camera, asked: str) -> tuple[float, float] | None:
    """Return the middle of the rubber's corners that are clicked, where another one is asked for."""
    if not asked or field.point(asked).kind != "rubber":
        return None
    clicks = [
        camera.control[point.key]
        for point in field.points
        if point.kind == "rubber" and point.key in camera.control
    ]
    if not clicks:
        return None
    n = len(clicks)
    return sum(click.x_px for click in clicks) / n, sum(click.y_px for click in clicks) / n


def drawn_points(field: FieldSetUp, camera: Camera) -> dict[str, KeyPoint]:
    """Return the points of the field as the drawing beside a picture shows them."""
    places = places_m(field)
    return {
        point.key: KeyPoint(
            kind=point.kind,
            x_m=places[point.key][0],
            y_m=places[point.key][1],
            number=number,
            is_clicked=point.key in camera.control,
            is_known=None not in field.point(point.above or point.key).u_m,
        )
        for number, point in enumerate(field.points, 1)
    }
