"""One camera of a delivery as it is being evaluated, and how results are put together."""

from __future__ import annotations

import math
from collections.abc import Sequence
from operator import attrgetter
from typing import Protocol

from deliverylab.core.metrics import validity
from deliverylab.core.metrics.catalogue import phase_of
from deliverylab.core.metrics.inputs import (
    STAND_IN_EVENTS,
    EventPositions,
    event_positions,
    working_scale,
)
from deliverylab.core.metrics.mass_track import SPEED_EVENTS, Speed, forward_speeds, mass_track
from deliverylab.core.metrics.pose_batch import relative_scale_u
from deliverylab.core.metrics.remedies import TIMING, line
from deliverylab.core.metrics.setup import Setup
from deliverylab.core.metrics.spec import Contribution, MetricSpec, Result, factor_for
from deliverylab.core.metrics.squareness import suspected_yaw_deg
from deliverylab.core.metrics.usefulness import too_unsure
from deliverylab.core.metrics.validity import Absence
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.vocabulary.events import event as event_entry


class Source(Protocol):
    """Whose result it is, and from which clip."""

    @property
    def delivery(self) -> Delivery:
        """The delivery."""
        ...

    @property
    def camera(self) -> Camera:
        """The clip."""
        ...


class Motion(Source, Protocol):
    """The body's speed over a delivery, told by one camera or by several together.

    Attributes
    ----------
    weight_shares : tuple of float
        Share of the difference to each other way of weighting segments that is its u.
    """

    weight_shares: tuple[float, ...]

    def speed_absence(self, spec: MetricSpec, event: str) -> Absence | None:
        """Return why a speed, or what is made of speeds, cannot be told."""
        ...

    def speed(self, name: str) -> Speed | None:
        """Return the speed at a marked event, or a peak by its name."""
        ...

    def projection_u(self, spec: MetricSpec, event: str) -> float:
        """Return what one plane, and smoothing besides, cost (`MetricSpec.projection_u`)."""
        ...

    def u_mark_s(self, event: str) -> float:
        """Return u of a marked event, real seconds."""
        ...

    def scale_u(self, forward_m: float) -> dict[str, float]:
        """Return the relative u of a forward speed by what all landmarks share."""
        ...

    def u_level_deg(self) -> float:
        """Return u of the vertical."""
        ...

    def motion_cautions(self, spec: MetricSpec, event: str) -> tuple[str, ...]:
        """Return what else a reader should know."""
        ...


class Sight:
    """One camera's positions at the events, and its mass track, gathered when first asked for.

    Attributes
    ----------
    scale : PlanarScale or None
        As entered, or a guess good enough for angles; None when nothing tells the scale.
    is_scaled : bool
        Whether it was entered.
    setup : Setup or None
        What turns pixels into a pose.
    n_repeats_dof : dict of str to int
        Degrees of freedom of the u of placing a part of the body, where that was repeated.
    """

    def __init__(self, delivery: Delivery, camera: Camera) -> None:
        self.delivery = delivery
        self.camera = camera
        self.scale, self.is_scaled = working_scale(delivery, camera)
        self.setup: Setup | None = None
        if self.scale is not None:
            self.setup = Setup.of(delivery, camera, self.scale)
        self._positions: dict[str, EventPositions | None] = {}
        self.suspected_yaw_deg = suspected_yaw_deg(delivery, camera)
        own = camera.precision
        self.n_repeats_dof: dict[str, int] = {} if own is None else own.n_degrees_of_freedom
        self._speeds: dict[str, Speed] | None = None
        self.weight_shares: tuple[float, ...] = ()
        is_sized = self.is_scaled and delivery.athlete.height_m is not None
        # Without both, known lengths come from the tracks themselves: then nothing is remembered,
        # for an object is equal to itself alone.
        self._context: object = object() if not is_sized else (
            delivery.name, self.setup, camera.name, tuple(camera.marks.items()),
            tuple(camera.occluded.items()), camera.timing, self.suspected_yaw_deg,
            tuple(self.n_repeats_dof.items()),
        )  # fmt: skip
        self._hash = hash(self._context)

    def __hash__(self) -> int:
        """Hash by all that a posture's result takes from the camera besides positions."""
        return self._hash

    def __eq__(self, other: object) -> bool:
        """Compare by the same."""
        return isinstance(other, Sight) and self._context == other._context

    def positions(self, event: str) -> EventPositions | None:
        """Return the positions at an event; None when it is not marked."""
        if event not in self._positions:
            self._positions[event] = event_positions(self.delivery, self.camera, event)
        return self._positions[event]

    def speed(self, name: str) -> Speed | None:
        """Return the body's forward speed at a marked event, or its peak under ``""``."""
        if self._speeds is None:
            self._speeds = self._all_speeds()
        return self._speeds.get(name)

    def speed_absence(self, spec: MetricSpec, event: str) -> Absence | None:
        """Return why a speed, or what is made of speeds, cannot be told; None where nothing forbids it."""
        delivery, camera = self.delivery, self.camera
        return (
            validity.not_scaled(spec, delivery, camera)
            or validity.off_square(spec, camera)
            or validity.too_slow(spec, camera)
            or validity.not_marked(spec.instants(event), camera)
            or (validity.out_of_order(spec, camera) if spec.kind != "speed" else None)
            or (validity.NO_SCALE if self.setup is None else None)
        )

    def projection_u(self, spec: MetricSpec, event: str) -> float:
        """Return what one plane, and smoothing besides, cost."""
        return spec.projection_u_at(event)

    def u_mark_s(self, event: str) -> float:
        """Return u of a marked event, real seconds."""
        return self.camera.timing.real_per_clip * self.camera.u_mark_s(event)

    def scale_u(self, forward_m: float) -> dict[str, float]:
        """Return the relative u of a forward speed by scale, yaw and distance."""
        return {} if self.setup is None else relative_scale_u(self.setup, forward_m)

    def u_level_deg(self) -> float:
        """Return u of the vertical."""
        return 0.0 if self.scale is None else self.scale.u_vertical_deg

    def motion_cautions(self, spec: MetricSpec, event: str) -> tuple[str, ...]:
        """Return what else a reader of a speed should know."""
        return cautions_of(spec, event, self, [])

    def _all_speeds(self) -> dict[str, Speed]:
        if self.setup is None:
            return {}
        camera = self.camera
        at_s = {
            key: float(camera.timing.real_s(camera.marks[key].time_s))
            for key in SPEED_EVENTS
            if key in camera.marks
        }
        is_spanned = {"leg_lift", "release"} <= at_s.keys()
        between_s = (at_s["leg_lift"], at_s["release"]) if is_spanned else None
        track = mass_track(self.delivery, camera, self.setup)
        self.weight_shares = track.shares
        return forward_speeds(track, at_s, between_s)


def not_shown(
    spec: MetricSpec, event: str, delivery: str, camera: Camera | None, absence: Absence
) -> Result:
    """Return a result that says why there is no value and what would give one."""
    return Result(
        delivery=delivery, metric=spec.key, event=event, name=spec.name,
        phase=phase_of(spec, event), unit=spec.unit, decimals=spec.decimals, status="not_shown",
        reason=absence.reason, remedy=absence.remedy, definition=spec.definition,
        camera=camera.name if camera else "", view=camera.view if camera else "",
    )  # fmt: skip


def shown(
    spec: MetricSpec, event: str, sight: Source, value: float, parts: dict[str, float],
    cautions: tuple[str, ...] = (), basis: str = "", lines: Sequence[Contribution] = (),
    n_dof: float | None = None,
) -> Result:  # fmt: skip
    """Return a measured result with its budget; degenerate or useless ones are not shown.

    Parts by source are lines of the budget that belong to no landmark; `lines` are those that do.
    """
    if not math.isfinite(value):
        absence = Absence("two of its points lie on one another", "place them again")
        return not_shown(spec, event, sight.delivery.name, sight.camera, absence)
    budget = [
        line(source, float(u), "", event if source == TIMING else "")
        for source, u in parts.items()
        if u > 0.0
    ]
    budget += [part for part in lines if part.u > 0.0]
    budget.sort(key=_size, reverse=True)
    floor = NEGLIGIBLE * budget[0].u if budget else 0.0
    budget = [part for part in budget if part.u > floor]
    u = math.sqrt(sum([part.u**2 for part in budget]))
    unsure = too_unsure(spec.unit, factor_for(n_dof) * u, budget, spec.useful_u)
    if unsure is not None:
        return not_shown(spec, event, sight.delivery.name, sight.camera, unsure)
    return Result(
        delivery=sight.delivery.name, metric=spec.key, event=event, name=spec.name,
        phase=phase_of(spec, event), unit=spec.unit, decimals=spec.decimals, status="measured",
        value=value, u=u, n_degrees_of_freedom=n_dof,
        definition=spec.definition, camera=sight.camera.name, view=sight.camera.view,
        basis=basis, budget=tuple(budget), cautions=cautions,
    )  # fmt: skip


_size = attrgetter("u")
NEGLIGIBLE = 1e-4
"""A part below this share of the largest is rounding, and no line of a budget."""


def cautions_of(
    spec: MetricSpec, event: str, sight: Sight, seen: list[EventPositions]
) -> tuple[str, ...]:
    """Return what a reader of this result should know besides."""
    cautions = []
    if not sight.is_scaled:
        cautions.append("no scale set: the camera is taken as level ± 2° and square ± 5°")
    elif sight.scale is not None and sight.scale.distance_m is None:
        cautions.append("camera distance not entered: a near phone is assumed for the ±")
    cautions.extend(
        f"taken at {event_entry(each.event).name}: {event_entry(asked).name} is not marked"
        for asked, each in zip(spec.instants(event), seen, strict=False)
        if each.is_stand_in
    )
    yaw_deg = sight.suspected_yaw_deg if seen else None
    if yaw_deg is not None:
        cautions.append(
            f"the stride runs across the picture: the camera seems about {yaw_deg:.0f}° off "
            "square; state its yaw"
        )
    if spec.is_from_rubber and sight.scale and sight.scale.rubber is None:
        cautions.append("the rubber is not marked: measured from the drive ankle at leg lift")
    return tuple(cautions)


def unbelievable(spec: MetricSpec, value: float) -> tuple[str, ...]:
    """Return a caution where a value is beyond what anybody does; 77-90 % is printed for strides."""
    if spec.believable is None or spec.believable[0] <= value <= spec.believable[1]:
        return ()
    return ("hardly believable: check the throwing hand, the marks and the scale",)


def basis_of(spec: MetricSpec, event: str, sight: Sight, seen: list[EventPositions]) -> str:
    """Return which way a result is measured where its definition leaves two; else nothing."""
    ways = [
        f"at {event_entry(each.event).name}"
        for asked, each in zip(spec.instants(event), seen, strict=True)
        if asked in STAND_IN_EVENTS
    ]
    if spec.is_from_rubber and sight.scale is not None:
        ways.append("from the drive ankle" if sight.scale.rubber is None else "from the rubber")
    return " ".join(ways)
