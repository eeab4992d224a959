"""Mass centres of segments and of the whole body, from end points and published ratios."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


def segment_mass_centre(proximal: FloatArray, distal: FloatArray, ratio: float) -> FloatArray:
    """Return a segment's mass centre.

    Parameters
    ----------
    proximal, distal : ndarray, shape (..., d)
        End points.
    ratio : float
        Distance of the mass centre from the proximal end as a share of the segment's length.

    Returns
    -------
    ndarray, shape (..., d)
        NaN where an end point is missing.
    """
    return proximal + ratio * (distal - proximal)


def combined_mass_centre(centres: FloatArray, masses: FloatArray) -> FloatArray:
    """Return the mass centre of several bodies.

    Parameters
    ----------
    centres : ndarray, shape (..., n, d)
        Mass centres.
    masses : ndarray, shape (n,)
        Masses in any one unit; they need not add up to one.

    Returns
    -------
    ndarray, shape (..., d)
        NaN where any centre is missing: a body with a hole in it has no known mass centre.
    """
    weights = masses / np.sum(masses)
    centre: FloatArray = np.einsum("...nd,n->...d", centres, weights)
    return centre
