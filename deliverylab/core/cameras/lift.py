"""One view lifted to space along limbs of known length: an estimate, never a measurement.

A point is on its line of sight, and on a sphere of the limb's length about the point before it in
the chain: nearer or farther, which the picture does not tell and the user says.

References
----------
.. [1] Taylor CJ (2000). Comput Vis Image Underst 80:349-363; there for a camera far away, here with
   the line of sight of a camera at its place.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.pinhole import PinholeCamera
from deliverylab.core.errors import InputValueError

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Link:
    """One limb of a chain.

    Attributes
    ----------
    start, end : str
        Landmarks; the start is lifted before the end.
    length_m, u_length_m : float, m
    is_farther : bool
        Whether the end is farther from the camera than the start, in the user's word.
    """

    start: str
    end: str
    length_m: float
    u_length_m: float
    is_farther: bool


@dataclass(frozen=True, kw_only=True)
class LiftedPoint:
    """A landmark lifted over all frames.

    Attributes
    ----------
    place_m : Array, shape (n, 3), m
        NaN where a place is missing, or the limb is seen longer than it is.
    covariance_m2 : Array, shape (n, 3, 3), m²
        By places, lengths and the chain's root.
    is_impossible : ndarray of bool, shape (n,)
        The line of sight passes the start farther off than the limb is long.
    """

    place_m: Array
    covariance_m2: Array
    is_impossible: NDArray[np.bool_]


def lift_end(
    camera: PinholeCamera, start_m: Array, end_px: Array, length_m: float, *, is_farther: bool
) -> tuple[Array, NDArray[np.bool_]]:
    """Lift the far end of one limb.

    Parameters
    ----------
    camera : PinholeCamera
    start_m : ndarray, shape (n, 3), m
    end_px : ndarray, shape (n, 2), px
    length_m : float, m
    is_farther : bool

    Returns
    -------
    place_m : ndarray, shape (n, 3), m
        Where the limb is seen longer than it is, the nearest the line of sight comes.
    is_impossible : ndarray of bool, shape (n,)
    """
    rays = camera.rays(end_px[:, 0], end_px[:, 1])
    nearest, step, is_impossible = meet_sphere(rays, start_m - camera.position_m, length_m)
    place = nearest + (step if is_farther else -step)
    return camera.position_m + place, is_impossible


def meet_sphere(
    rays: Array, start_m: Array, length_m: float | Array
) -> tuple[Array, Array, NDArray[np.bool_]]:
    """Meet lines of sight with spheres about the limbs' near ends.

    Parameters
    ----------
    rays : ndarray, shape (n, 3)
        Of any length.
    start_m : ndarray, shape (n, 3), m
        Near ends, from where the lines of sight begin.
    length_m : float or ndarray, shape (n,), m

    Returns
    -------
    nearest_m : ndarray, shape (n, 3), m
        Where the line of sight comes nearest to the near end.
    step_m : ndarray, shape (n, 3), m
        From there to the farther of the two far ends; the nearer one lies as far on the other side.
        Zero where the limb is seen longer than it is.
    is_impossible : ndarray of bool, shape (n,)
    """
    rays = rays / np.linalg.norm(rays, axis=1, keepdims=True)
    along = np.sum(rays * start_m, axis=1)
    room = length_m**2 - (np.sum(start_m**2, axis=1) - along**2)
    step = np.sqrt(np.maximum(room, 0.0))
    return along[:, None] * rays, step[:, None] * rays, room < 0.0


def lift_chain(
    camera: PinholeCamera,
    places_px: Mapping[str, Array],
    links: Sequence[Link],
    root_m: Array,
    *,
    u_px: float,
    u_root_m: float,
) -> dict[str, LiftedPoint]:
    """Lift a chain of limbs from a root of known place.

    Parameters
    ----------
    camera : PinholeCamera
    places_px : mapping of str to ndarray, shape (n, 2), px
    links : sequence of Link
        In order from the root, which is the first link's start.
    root_m : ndarray, shape (n, 3), m
        Place of the root, from the plane of motion or the ground.
    u_px : float, px
        Of each place.
    u_root_m : float, m
        Of the root along the camera's line of sight.

    Returns
    -------
    dict of str to LiftedPoint
        All ends; behind an impossible limb all is NaN.

    Raises
    ------
    InputValueError
        A limb begins at a point that no limb before it has lifted.

    Notes
    -----
    Each input is moved by its u both ways and the larger change is kept: near where a limb lies
    square to the line of sight the slope is infinite, the change is not.
    """
    known = {links[0].start} if links else set()
    for link in links:
        if link.start not in known:
            raise InputValueError(
                "a limb of the chain begins at a point that is not lifted yet",
                where=f"{link.start} to {link.end}",
                remedy="put the limbs in order from the root",
            )
        known.add(link.end)
    base, impossible = _places(camera, places_px, links, root_m)
    covariance = {key: np.zeros((len(root_m), 3, 3)) for key in base}
    for change in _changes(camera, places_px, links, root_m, u_px, u_root_m, base):
        for key, moved in change.items():
            covariance[key] += moved[:, :, None] * moved[:, None, :]
    out = {}
    for key in base:
        bad = impossible[key]
        out[key] = LiftedPoint(
            place_m=np.where(bad[:, None], np.nan, base[key]),
            covariance_m2=np.where(bad[:, None, None], np.nan, covariance[key]),
            is_impossible=bad,
        )
    return out


def _places(
    camera: PinholeCamera, places_px: Mapping[str, Array], links: Sequence[Link], root_m: Array
) -> tuple[dict[str, Array], dict[str, NDArray[np.bool_]]]:
    """Lift link by link; what follows an impossible limb is impossible."""
    places = {links[0].start: root_m} if links else {}
    bad = {key: np.zeros(len(root_m), dtype=bool) for key in places}
    for link in links:
        start = places[link.start]
        end, is_bad = lift_end(
            camera, start, places_px[link.end], link.length_m, is_farther=link.is_farther
        )
        places[link.end], bad[link.end] = end, is_bad | bad[link.start]
    if links:
        del places[links[0].start], bad[links[0].start]
    return places, bad


def _changes(
    camera: PinholeCamera,
    places_px: Mapping[str, Array],
    links: Sequence[Link],
    root_m: Array,
    u_px: float,
    u_root_m: float,
    base: dict[str, Array],
) -> list[dict[str, Array]]:
    """Return how all ends move when one input is off by its u, for every input."""
    changes = []
    sight = camera.axes[2] * u_root_m
    changes.append(
        _larger(base, *(_places(camera, places_px, links, root_m + s * sight)[0] for s in (1, -1)))
    )
    for row, link in enumerate(links):
        for step in u_px * np.eye(2):
            moved = [
                {**places_px, link.end: places_px[link.end] + sign * step} for sign in (1.0, -1.0)
            ]
            both = (_places(camera, each, links, root_m)[0] for each in moved)
            changes.append(_larger(base, *both))
        longer = [_with_length(links, row, sign * link.u_length_m) for sign in (1.0, -1.0)]
        both = (_places(camera, places_px, each, root_m)[0] for each in longer)
        changes.append(_larger(base, *both))
    return changes


def _with_length(links: Sequence[Link], row: int, change_m: float) -> list[Link]:
    out = list(links)
    out[row] = replace(out[row], length_m=out[row].length_m + change_m)
    return out


def _larger(
    base: dict[str, Array], one: dict[str, Array], other: dict[str, Array]
) -> dict[str, Array]:
    """Return for every point the larger of two changes."""
    out = {}
    for key, place in base.items():
        a, b = one[key] - place, place - other[key]
        is_first = np.sum(a**2, axis=1) >= np.sum(b**2, axis=1)
        out[key] = np.where(is_first[:, None], a, b)
    return out
