"""Where solved cameras stood, as a person says it, each number with its u."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.pinhole import CameraFacts, PinholeCamera, camera_facts, camera_from
from deliverylab.core.metrics.space_places import pinhole
from deliverylab.core.model.delivery import Delivery
from deliverylab.core.model.space import N_NUMBERS
from deliverylab.core.vocabulary.landmarks import Hand

Array = NDArray[np.float64]

TARGET_M = (0.85, 0.0)
"""Middle of a usual stride: what a camera's distance is counted from."""
STEPS = np.array([1e-6] * 3 + [1e-5] * 3 + [1e-6])


@dataclass(frozen=True, kw_only=True)
class StoodAt:
    """Where a camera stood.

    Attributes
    ----------
    camera : str
    view : str
        The view that its yaw is counted from.
    facts, u : CameraFacts
        Distance, height, yaw off square, pitch, roll, focal length; and their standard
        uncertainties.
    """

    camera: str
    view: str
    facts: CameraFacts
    u: CameraFacts


def stood_at(
    name: str, camera: PinholeCamera, covariance: Array, view_key: str, hand: Hand
) -> StoodAt:
    """Say where a camera stood.

    Parameters
    ----------
    name : str
    camera : PinholeCamera
    covariance : ndarray, shape (7, 7)
        Of its seven numbers.
    view_key : str
        Any view but from the top.
    hand : {"left", "right"}
    """

    def numbers(each: PinholeCamera) -> Array:
        return np.array([*asdict(camera_facts(each, view_key, hand, TARGET_M)).values()])

    facts = camera_facts(camera, view_key, hand, TARGET_M)
    u = u_of(numbers, camera, covariance).tolist()
    return StoodAt(
        camera=name,
        view=view_key,
        facts=facts,
        u=CameraFacts(**dict(zip(asdict(facts), u, strict=True))),
    )


def solved_stands(delivery: Delivery) -> tuple[StoodAt, ...]:
    """Return where all solved cameras of a delivery stood; empty without a solution."""
    if delivery.space is None:
        return ()
    covariance = np.array(delivery.space.covariance)
    names = {camera.name for camera in delivery.cameras}
    found = []
    for number, solved in enumerate(delivery.space.cameras):
        if solved.name in names:
            rows = slice(N_NUMBERS * number, N_NUMBERS * (number + 1))
            found.append(
                stood_at(
                    solved.name,
                    pinhole(solved),
                    covariance[rows, rows],
                    delivery.camera(solved.name).view,
                    delivery.athlete.hand,
                )
            )
    return tuple(found)


def u_of(of: Callable[[PinholeCamera], Array], camera: PinholeCamera, covariance: Array) -> Array:
    """Return the u of some numbers that a camera has, to first order.

    Parameters
    ----------
    of : callable
        Gives the numbers, shape (n,), of a camera.
    camera : PinholeCamera
    covariance : ndarray, shape (7, 7)

    Returns
    -------
    ndarray, shape (n,)
    """
    at, parameters = of(camera), camera.parameters
    slopes = np.array(
        [
            (of(camera_from(parameters + step, camera.size_px, camera.radial)) - at) / step.sum()
            for step in np.diag(STEPS)
        ]
    )
    out: Array = np.sqrt(np.maximum(np.diag(slopes.T @ covariance @ slopes), 0.0))
    return out
