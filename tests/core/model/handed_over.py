"""Random plans and scripts of walkthroughs."""

from __future__ import annotations

from hypothesis import strategies as st

from deliverylab.core.model.plan import Plan, Priority
from deliverylab.core.model.walkthrough import Drawing, Stop, Walkthrough
from deliverylab.core.vocabulary.events import EVENT_KEYS

_texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
_pixels = st.floats(-5000.0, 5000.0)

priorities = st.builds(
    Priority,
    metric=st.just("stride_length"),
    event=_texts,
    way=st.sampled_from(["more", "less"]),
    value=st.none() | st.floats(-200.0, 200.0),
    u=st.none() | st.floats(0.0, 50.0),
    partner=st.none() | st.floats(-200.0, 200.0),
    target=st.none() | st.floats(-200.0, 200.0),
    arm_load=st.sampled_from(["none", "light", "throwing"]),
    cue=_texts,
)
plans = st.builds(
    Plan,
    priorities=st.lists(priorities, max_size=3, unique_by=lambda one: one.event).map(tuple),
    recheck_date=st.sampled_from(["", "2026-06-04"]),
    note=_texts,
)
drawings = st.builds(
    Drawing,
    side=st.sampled_from(["athlete", "model"]),
    kind=st.sampled_from(["arrow", "line", "circle", "freehand"]),
    points_px=st.tuples(*[st.tuples(_pixels, _pixels)] * 2),
)
stops = st.builds(
    Stop,
    event=st.sampled_from(EVENT_KEYS),
    pause_s=st.floats(0.0, 9.0),
    caption=_texts,
    drawings=st.lists(drawings, max_size=2).map(tuple),
)


def walkthroughs(pair: tuple[str, str]) -> st.SearchStrategy[Walkthrough]:
    """Return scripts of this pair."""
    return st.builds(
        Walkthrough,
        pair=st.just(pair),
        stops=st.lists(stops, max_size=2).map(tuple),
        speed=st.floats(0.1, 1.0),
        voice=_texts,
    )
