"""Take a person's figures up as the default u, in this project and, remembered, in the next."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from deliverylab.core.errors import NotFoundError, UsageError
from deliverylab.core.model.changes import Batch
from deliverylab.core.model.delivery import Camera
from deliverylab.core.model.precision import PlacingPrecision
from deliverylab.core.model.precision_changes import SetPrecision
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.workflow.precision import (
    MIN_DEGREES_OF_FREEDOM,
    PersonReport,
    PrecisionReport,
)


def precision_of(person: PersonReport) -> PlacingPrecision:
    """Return a person's figures; parts with too few repeats are left out.

    Raises
    ------
    UsageError
        No part was repeated often enough.
    """
    usable = [row for row in person.rows if row.is_usable]
    if not usable:
        raise UsageError(
            "too little was placed again for figures of one's own",
            where=person.placer,
            remedy=f"a part of the body needs {(MIN_DEGREES_OF_FREEDOM + 1) // 2} points placed "
            "twice, left and right together",
        )
    return PlacingPrecision(
        placer=person.placer,
        date=person.date,
        u_m={row.part: round(row.u, 6) for row in usable},
        n_degrees_of_freedom={row.part: row.n_degrees_of_freedom for row in usable},
        u_between_m={row.part: round(row.between, 6) for row in usable if row.between > 0.0},
    )


def figures_of(report: PrecisionReport, placer: str) -> PlacingPrecision | None:
    """Return a person's figures from a project's runs; None where it holds no repeats of theirs.

    Raises
    ------
    UsageError
        Repeats, but too few.
    """
    person = report.person(placer)
    return None if person is None else precision_of(person)


def n_keeping_their_u(
    record: ProjectRecord, delivery: str | None = None, camera: str | None = None
) -> int:
    """Return how many positions carry a u of their own, which goes before any default."""
    return sum(
        int(np.count_nonzero(np.isfinite(track.u_px)))
        for _, each in _cameras(record, delivery, camera)
        for track in each.tracks.values()
    )


def uses_no_default(record: ProjectRecord, delivery: str | None = None) -> bool:
    """Return whether every position there carries a u of its own, so that no default is used."""
    n_placed = sum(
        len(track) for _, each in _cameras(record, delivery, None) for track in each.tracks.values()
    )
    return n_placed > 0 and n_keeping_their_u(record, delivery) == n_placed


def _cameras(
    record: ProjectRecord, delivery: str | None, camera: str | None
) -> Iterator[tuple[str, Camera]]:
    """Yield (delivery, camera) of all cameras that are meant."""
    for owner in record.deliveries:
        for each in owner.cameras:
            if delivery in {None, owner.name} and camera in {None, each.name}:
                yield owner.name, each


def take_up(
    record: ProjectRecord,
    precision: PlacingPrecision | None,
    *,
    delivery: str | None = None,
    camera: str | None = None,
) -> Batch:
    """Return the change that makes these figures the default u (None: the judged ones again).

    Parameters
    ----------
    delivery, camera : str or None
        Only there; all cameras of the delivery, or of the project, when None.

    Raises
    ------
    NotFoundError
        There is no camera of that name.
    """
    changes = tuple(
        SetPrecision(delivery=owner, camera=each.name, precision=precision)
        for owner, each in _cameras(record, delivery, camera)
    )
    if not changes:
        raise NotFoundError(
            "there is no such camera", where=" ".join(filter(None, (delivery, camera))) or "project"
        )
    who = "the judged figures" if precision is None else f"the figures of {precision.placer}"
    return Batch(label=f"Use {who} for placing", changes=changes)
