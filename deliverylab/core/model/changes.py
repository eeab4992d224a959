"""Every edit of a project, as a frozen value that knows how to be taken back.

A change has a `label` (what undo says), a `key` (edits with the same key in one gesture merge),
`touches` (what it affects) and ``apply(project) -> inverse``.  Edits inside a clip stand in
`deliverylab.core.model.clip_changes`; here are those of the project's structure.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import Any, ClassVar, Protocol, TypeVar

import msgspec

from deliverylab.core.errors import UsageError
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.precision import PlacingRun
from deliverylab.core.model.project import Project
from deliverylab.core.vocabulary.views import view as view_entry

C = TypeVar("C")
V = TypeVar("V")
N = TypeVar("N", Camera, Delivery, PlacingRun)
replace = msgspec.structs.replace
PROJECT_FIELDS = frozenset(
    {"title", "organisation", "unit_system", "pair", "own_set", "partner_set"}
)
"""Fields of the project itself that are set one by one."""


class Change(Protocol):
    """What every edit offers."""

    @property
    def label(self) -> str:
        """What undo and redo say."""
        ...

    @property
    def key(self) -> tuple[str, ...]:
        """Edits with the same key in one gesture merge into one."""
        ...

    @property
    def touches(self) -> frozenset[str]:
        """What is affected: ``positions``, ``marks``, ``scale``, ``space``, ``deliveries`` ..."""
        ...

    def apply(self, project: Project) -> Change:
        """Carry the edit out and return its inverse."""
        ...


@dataclass(frozen=True, kw_only=True)
class SetCamera:
    """Add, replace or remove (None) a camera of a delivery, at a place in their order.

    `what` is what undo says, where "set camera" would say too little.
    """

    delivery: str
    name: str
    camera: Camera | None
    index: int | None = None
    what: str = ""
    touches: ClassVar[frozenset[str]] = frozenset({"deliveries"})

    @property
    def label(self) -> str:
        """What undo says."""
        return self.what or f"{'Remove' if self.camera is None else 'Set'} camera {self.name}"

    @property
    def key(self) -> tuple[str, ...]:
        """One camera."""
        return ("camera", self.delivery, self.name)

    def apply(self, project: Project) -> SetCamera:
        """Put the camera in its place."""
        if self.camera is not None:
            view_entry(self.camera.view)
        owner = project.delivery(self.delivery)
        cameras, before, index = replaced_item(owner.cameras, self.name, self.camera, self.index)
        project.replace_delivery(replace(owner, cameras=cameras))
        name = self.camera.name if self.camera is not None else self.name
        return SetCamera(
            delivery=self.delivery, name=name, camera=before, index=index, what=self.what
        )


@dataclass(frozen=True, kw_only=True)
class SetDelivery:
    """Add, replace (also by another name) or remove (None) a delivery."""

    name: str
    delivery: Delivery | None
    index: int | None = None
    touches: ClassVar[frozenset[str]] = frozenset({"deliveries"})

    @property
    def label(self) -> str:
        """What undo says."""
        return f"{'Remove' if self.delivery is None else 'Set'} delivery {self.name}"

    @property
    def key(self) -> tuple[str, ...]:
        """One delivery."""
        return ("delivery", self.name)

    def apply(self, project: Project) -> SetDelivery:
        """Put the delivery in its place."""
        if self.delivery is not None:
            for camera in self.delivery.cameras:
                view_entry(camera.view)
        deliveries, before, index = replaced_item(
            project.record.deliveries, self.name, self.delivery, self.index
        )
        project.record = replace(project.record, deliveries=deliveries)
        name = self.delivery.name if self.delivery is not None else self.name
        return SetDelivery(name=name, delivery=before, index=index)


@dataclass(frozen=True, kw_only=True)
class SetProjectField:
    """Set a field of the project itself: title, pair, sets compared ..."""

    field: str
    value: Any
    touches: ClassVar[frozenset[str]] = frozenset({"project"})

    @property
    def label(self) -> str:
        """What undo says."""
        return f"Set {self.field.replace('_', ' ')}"

    @property
    def key(self) -> tuple[str, ...]:
        """One field."""
        return ("project", self.field)

    def apply(self, project: Project) -> SetProjectField:
        """Set the field."""
        if self.field not in PROJECT_FIELDS:
            raise UsageError("a project has no such field", where=self.field)
        before = getattr(project.record, self.field)
        project.record = replace(project.record, **{self.field: self.value})
        return replace_value(self, value=before)


@dataclass(frozen=True, kw_only=True)
class Batch:
    """Several changes as one: all are carried out, or none."""

    label: str
    changes: tuple[Change, ...]

    @property
    def key(self) -> tuple[str, ...]:
        """Never merges with another."""
        return ("batch", str(id(self)))

    @property
    def touches(self) -> frozenset[str]:
        """What any of them touches."""
        return frozenset[str]().union(*(change.touches for change in self.changes))

    def apply(self, project: Project) -> Batch:
        """Carry all out in order; the inverse runs backwards."""
        inverses = [change.apply(project) for change in self.changes]
        return Batch(label=self.label, changes=tuple(reversed(inverses)))


def replace_value(change: C, **values: Any) -> C:
    """Return a copy of a frozen change with some fields replaced."""
    return dataclasses.replace(change, **values)  # type: ignore[type-var]


def replaced_item(
    items: tuple[N, ...], name: str, item: N | None, index: int | None
) -> tuple[tuple[N, ...], N | None, int]:
    """Return the items with the one of this name set, added or removed; it; and its place."""
    names = [old.name for old in items]
    place = names.index(name) if name in names else None
    if item is not None and item.name != name and item.name in names:
        raise UsageError("that name is taken", where=item.name, remedy="choose another name")
    if place is None and item is None:
        raise UsageError("there is nothing of that name to remove", where=name)
    remaining = [old for old in items if old.name != name]
    before = items[place] if place is not None else None
    at = place if place is not None else (len(items) if index is None else index)
    if item is not None:
        remaining.insert(at, item)
    return tuple(remaining), before, at


def with_entry(table: dict[str, V], key: str, value: V | None) -> dict[str, V]:
    """Return a copy of a table with one entry set, or removed when the value is None."""
    copy = dict(table)
    if value is None:
        copy.pop(key, None)
    else:
        copy[key] = value
    return copy
