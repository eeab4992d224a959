"""Who placed what how often: all runs of a project, by person and target, in metres."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.metrics.inputs import metres_per_px
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.precision import PlacedAgain, PlacingRun

FloatArray = NDArray[np.float64]


class Spot(NamedTuple):
    """One landmark in one frame of one camera of one delivery."""

    delivery: str
    camera: str
    frame: int
    landmark: str


class Person(NamedTuple):
    """All that one person placed, as far as runs speak of it.

    Attributes
    ----------
    name, date : str
        Who, and the day of the latest run.
    n_runs : int
        Runs this person placed.
    places_m : dict of Spot to list of (float, float)
        Places, earliest first: metres toward the plate (to the picture's right where the camera
        does not look from a side) and up, from the picture's top left.
    """

    name: str
    date: str
    n_runs: int
    places_m: dict[Spot, list[tuple[float, float]]]

    @property
    def repeated(self) -> tuple[Spot, ...]:
        """What was placed twice or more often."""
        return tuple(spot for spot, places in self.places_m.items() if len(places) > 1)


def people_of(deliveries: Iterable[Delivery]) -> tuple[dict[str, Person], dict[Spot, float]]:
    """Return everybody who placed, by name, and the size of a pixel at each spot, metres.

    The position of the record counts as the first placing of whoever placed it.  Runs of cameras
    whose pixels cannot be turned into metres, or that are no longer there, are left out.
    """
    people: dict[str, Person] = {}
    sizes: dict[Spot, float] = {}
    for delivery in deliveries:
        cameras = {camera.name: camera for camera in delivery.cameras}
        for run in delivery.placing_runs:
            for placed in run.placed:
                camera = cameras.get(placed.camera)
                size = None if camera is None else metres_per_px(delivery, camera)
                if camera is None or size is None:
                    continue
                spot = Spot(delivery.name, *placed.target)
                sizes[spot] = size
                _add(people, run, spot, placed, _metres(delivery, camera, size))
            _count(people, run)
    return people, sizes


def _metres(delivery: Delivery, camera: Camera, size: float) -> tuple[float, float]:
    """Return metres per pixel toward the plate and up."""
    return (-size if delivery.plate_side(camera) == "left" else size), -size


def _add(
    people: dict[str, Person],
    run: PlacingRun,
    spot: Spot,
    placed: PlacedAgain,
    metres: tuple[float, float],
) -> None:
    forward, up = metres
    if placed.before_x_px is not None and placed.before_y_px is not None:
        # several runs hold the same first placing: it counts once
        owner = _person(people, run.who_placed_before)
        owner.places_m.setdefault(spot, [(forward * placed.before_x_px, up * placed.before_y_px)])
    again = _person(people, run.placer)
    again.places_m.setdefault(spot, []).append((forward * placed.x_px, up * placed.y_px))


def _person(people: dict[str, Person], name: str) -> Person:
    return people.setdefault(name, Person(name, "", 0, {}))


def _count(people: dict[str, Person], run: PlacingRun) -> None:
    if run.placer in people:
        person = people[run.placer]
        people[run.placer] = person._replace(
            n_runs=person.n_runs + 1, date=max(person.date, run.date)
        )


def repeat_tables(person: Person, spots: Iterable[Spot]) -> FloatArray:
    """Return a person's repeats of these spots, shape (2, n, k): toward the plate, up; metres.

    k is the largest number of placings; NaN where a spot has fewer.
    """
    rows = [person.places_m[spot] for spot in spots]
    table = np.full((2, len(rows), max(map(len, rows), default=0)), np.nan)
    for number, places in enumerate(rows):
        table[:, number, : len(places)] = np.transpose(places)
    return table


def shared_tables(a: Person, b: Person, spots: Iterable[Spot]) -> FloatArray:
    """Return two people's mean places of the same spots, shape (2, n, 2), metres."""
    means = [[np.mean(person.places_m[spot], axis=0) for person in (a, b)] for spot in spots]
    table: FloatArray = np.moveaxis(np.array(means, np.float64).reshape(-1, 2, 2), -1, 0)
    return table


def spots_by_part(spots: Iterable[Spot], part_of: Mapping[str, str]) -> dict[str, list[Spot]]:
    """Return spots by the part of the body, in the order of `part_of`."""
    found: dict[str, list[Spot]] = {part: [] for part in dict.fromkeys(part_of.values())}
    for spot in spots:
        found[part_of[spot.landmark]].append(spot)
    return {part: kept for part, kept in found.items() if kept}
