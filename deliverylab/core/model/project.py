"""A project: its record, the one way in which it is edited, and who is told."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import msgspec

from deliverylab.core.errors import NotFoundError
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.walkthrough import Walkthrough
from deliverylab.core.units import UnitSystem

if TYPE_CHECKING:
    from deliverylab.core.model.changes import Change


class ProjectRecord(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Everything a project file holds.

    Attributes
    ----------
    title, organisation : str
        For the page's head.
    unit_system : {"metric", "imperial"}
        What people are shown; the record itself is in SI.
    deliveries : tuple of Delivery
        In the order in which they were added.
    pair : tuple of str or None
        Names of the athlete's and the model delivery last compared.
    own_set, partner_set : str
        Which further deliveries, or published group, stand on either side of the comparison, in the
        form that `deliverylab.core.compare.parties` reads; empty for the pair's own delivery.
    walkthroughs : tuple of Walkthrough
        Scripts, one a pair, in the order of their pairs.
    """

    title: str = ""
    organisation: str = ""
    unit_system: UnitSystem = "metric"
    deliveries: tuple[Delivery, ...] = ()
    pair: tuple[str, str] | None = None
    own_set: str = ""
    partner_set: str = ""
    walkthroughs: tuple[Walkthrough, ...] = ()

    def walkthrough(self, pair: tuple[str, str]) -> Walkthrough | None:
        """Return the script of a pair, or None."""
        return next((each for each in self.walkthroughs if each.pair == pair), None)


class Project:
    """The one mutable holder of a frozen record.

    Attributes
    ----------
    record : ProjectRecord
        The present state; replaced, never changed in place.
    """

    def __init__(self, record: ProjectRecord | None = None) -> None:
        self.record = record or ProjectRecord()
        self._observers: list[Callable[[Change], None]] = []

    def observe(self, observer: Callable[[Change], None]) -> None:
        """Call `observer(change)` after every applied change."""
        self._observers.append(observer)

    def apply(self, change: Change) -> Change:
        """Carry a change out, tell the observers, and return the change that takes it back.

        Raises
        ------
        DeliveryLabError
            The change does not fit; the project is as before.
        """
        before = self.record
        try:
            inverse = change.apply(self)
        except BaseException:
            self.record = before
            raise
        for observer in self._observers:
            observer(change)
        return inverse

    def delivery(self, name: str) -> Delivery:
        """Return the delivery of this name.

        Raises
        ------
        NotFoundError
            No such delivery; the message lists the names.
        """
        for delivery in self.record.deliveries:
            if delivery.name == name:
                return delivery
        names = ", ".join(delivery.name for delivery in self.record.deliveries) or "none yet"
        raise NotFoundError("no such delivery", where=name, remedy=f"the deliveries are: {names}")

    def camera(self, delivery: str, camera: str | None = None) -> Camera:
        """Return a camera of a delivery; its first when `camera` is None.

        Raises
        ------
        NotFoundError
            No such delivery or camera.
        """
        return self.delivery(delivery).camera(camera)

    def replace_delivery(self, delivery: Delivery) -> None:
        """Put a delivery in the place of the one of the same name; for changes only."""
        self.delivery(delivery.name)
        self.record = msgspec.structs.replace(
            self.record,
            deliveries=tuple(
                delivery if old.name == delivery.name else old for old in self.record.deliveries
            ),
        )

    def replace_camera(self, delivery: str, camera: Camera) -> None:
        """Put a camera in the place of the one of the same name; for changes only."""
        owner = self.delivery(delivery)
        owner.camera(camera.name)
        self.replace_delivery(
            msgspec.structs.replace(
                owner,
                cameras=tuple(camera if old.name == camera.name else old for old in owner.cameras),
            )
        )
