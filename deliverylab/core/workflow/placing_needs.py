"""How many results need a landmark at an event: what to place first."""

from __future__ import annotations

from functools import lru_cache

from deliverylab.core.metrics.catalogue import METRICS
from deliverylab.core.vocabulary.landmarks import Hand, key_for_role


@lru_cache(maxsize=256)
def n_results_at(event: str, hand: Hand, view: str, *, is_in_space: bool = False) -> dict[str, int]:
    """Return how many results need each landmark of a clip at an event.

    Parameters
    ----------
    event : str
        Key.
    hand : {"left", "right"}
        The throwing hand.
    view : str
        Where the camera stands; results that it cannot show from there do not count.
    is_in_space : bool
        Whether it is one of several cameras that are solved: then what they tell together counts,
        whatever the view.

    Returns
    -------
    dict of str to int
        By landmark key; do not change it.
    """
    counts: dict[str, int] = {}
    for spec in METRICS:
        for result_event in spec.result_events:
            instants = spec.instants(result_event)
            if event not in instants:
                continue
            if not is_in_space and view not in spec.views_at(result_event):
                continue
            roles = {
                role
                for number, instant in enumerate(instants)
                if instant == event
                for role in spec.landmarks_at(number)
            }
            for role in roles:
                key = key_for_role(role, hand)
                counts[key] = counts.get(key, 0) + 1
    return counts
