"""Edits of the field, of clicks on it, of how cameras stand, and of what a solve found."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import msgspec

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.changes import replace_value, with_entry
from deliverylab.core.model.field import CameraStand, ControlClick, FieldSetUp
from deliverylab.core.model.project import Project
from deliverylab.core.model.space import SpaceSolution

replace = msgspec.structs.replace
SPACE: frozenset[str] = frozenset({"space"})


@dataclass(frozen=True, kw_only=True)
class SetControlClick:
    """Click a point of the field in a picture, or take the click away (None)."""

    delivery: str
    camera: str
    point: str
    click: ControlClick | None
    touches: ClassVar[frozenset[str]] = SPACE

    @property
    def label(self) -> str:
        """What undo says."""
        return f"{'Remove' if self.click is None else 'Click'} {self.point.replace('_', ' ')}"

    @property
    def key(self) -> tuple[str, ...]:
        """One point in one picture."""
        return ("control", self.delivery, self.camera, self.point)

    def apply(self, project: Project) -> SetControlClick:
        """Set the click; the field may be changed later, so the point need not be on it."""
        camera = project.camera(self.delivery, self.camera)
        before = camera.control.get(self.point)
        control = with_entry(camera.control, self.point, self.click)
        project.replace_camera(self.delivery, replace(camera, control=control))
        return replace_value(self, click=before)


@dataclass(frozen=True, kw_only=True)
class SetField:
    """Set the points of the field of a delivery, or take the field away (None)."""

    delivery: str
    field: FieldSetUp | None
    label: ClassVar[str] = "Set the field"
    touches: ClassVar[frozenset[str]] = SPACE

    @property
    def key(self) -> tuple[str, ...]:
        """One delivery."""
        return ("field", self.delivery)

    def apply(self, project: Project) -> SetField:
        """Set the field, whose points have keys of their own and stand after what they count from."""
        delivery = project.delivery(self.delivery)
        if self.field is not None:
            for number, what, remedy in self.field.faults():
                raise InputValueError(what, where=self.field.points[number].name, remedy=remedy)
        project.replace_delivery(replace(delivery, field=self.field))
        return replace_value(self, field=delivery.field)


@dataclass(frozen=True, kw_only=True)
class SetStand:
    """Say how a camera stands and what lens it has."""

    delivery: str
    camera: str
    stand: CameraStand
    label: ClassVar[str] = "Set how the camera stands"
    touches: ClassVar[frozenset[str]] = SPACE

    @property
    def key(self) -> tuple[str, ...]:
        """One camera."""
        return ("stand", self.delivery, self.camera)

    def apply(self, project: Project) -> SetStand:
        """Set it."""
        camera = project.camera(self.delivery, self.camera)
        project.replace_camera(self.delivery, replace(camera, stand=self.stand))
        return replace_value(self, stand=camera.stand)


@dataclass(frozen=True, kw_only=True)
class SetCamerasFrom:
    """Take the cameras from another delivery, whose field and clicks hold; "" takes that back."""

    delivery: str
    source: str
    label: ClassVar[str] = "Cameras left in place"
    touches: ClassVar[frozenset[str]] = SPACE

    @property
    def key(self) -> tuple[str, ...]:
        """One delivery."""
        return ("cameras from", self.delivery)

    def apply(self, project: Project) -> SetCamerasFrom:
        """Set it; `cameras_left_in_place` makes such a change where it fits."""
        delivery = project.delivery(self.delivery)
        project.replace_delivery(replace(delivery, cameras_from=self.source))
        return replace_value(self, source=delivery.cameras_from)


def cameras_left_in_place(project: Project, delivery: str, source: str) -> SetCamerasFrom:
    """Return the change that lets a delivery take its cameras from another one.

    Raises
    ------
    NotFoundError
        No such delivery.
    InputValueError
        The other one takes its cameras from elsewhere itself, or has other cameras.
    """
    taker, giver = project.delivery(delivery), project.delivery(source)
    if giver.name == taker.name or giver.cameras_from:
        raise InputValueError(
            "cameras are taken from a delivery that was clicked itself",
            where=source,
            remedy="name the delivery in which the points of the field were clicked",
        )
    names = [camera.name for camera in giver.cameras]
    if names != [camera.name for camera in taker.cameras]:
        raise InputValueError(
            "the two deliveries have other cameras",
            where=f"{taker.name}, {giver.name}",
            remedy=f"name this delivery's cameras {', '.join(names)}",
        )
    return SetCamerasFrom(delivery=delivery, source=source)


@dataclass(frozen=True, kw_only=True)
class SetSpace:
    """Keep what a solve found of a delivery's cameras, or drop it (None)."""

    delivery: str
    space: SpaceSolution | None
    label: ClassVar[str] = "Solve the cameras"
    touches: ClassVar[frozenset[str]] = SPACE

    @property
    def key(self) -> tuple[str, ...]:
        """One delivery."""
        return ("space", self.delivery)

    def apply(self, project: Project) -> SetSpace:
        """Set it; one whose cameras are gone serves nothing, and says so where it is used."""
        delivery = project.delivery(self.delivery)
        project.replace_delivery(replace(delivery, space=self.space))
        return replace_value(self, space=delivery.space)
