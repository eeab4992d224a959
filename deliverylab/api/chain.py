"""What the differences of two deliveries start with, and what they lead to."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from deliverylab.core.compare.chain import Chain
    from deliverylab.core.model.delivery import Delivery
    from deliverylab.core.model.library import Library


def chain(a: Delivery, b: Delivery, library: Library | None = None) -> Chain:
    """Return with which clear differences others seem to begin, and what commonly follows.

    Parameters
    ----------
    a, b : Delivery
        The athlete's, and what it is compared with.
    library : Library, optional
        An instructor's own links; the program's table alone without.

    Returns
    -------
    Chain
        ``starts`` with their scores, ``nodes`` and ``edges``, what is ``unexplained``, and the same in
        ``sentences``; ``deliverylab.core.compare.chain_parts.chain_row`` makes plain data of it.

    Raises
    ------
    InputValueError
        A link of the library fits nothing, or leads round in a circle.
    """
    from deliverylab.core.compare.chain import LINKS, chain_of
    from deliverylab.core.compare.difference import differences
    from deliverylab.core.compare.links import links_with

    return chain_of(differences(a, b), LINKS if library is None else links_with(library))
