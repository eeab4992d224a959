"""Measure pitching deliveries from phone clips, with the uncertainty of every number.

In a notebook:

>>> import deliverylab
>>> project = deliverylab.open_project("may.delivery")  # doctest: +SKIP
>>> results = deliverylab.measure(project.delivery("Ana 1"))  # doctest: +SKIP
"""

from __future__ import annotations

from deliverylab.api.cameras import solve, solve_camera, sync, worst_places
from deliverylab.api.chain import chain
from deliverylab.api.placing import (
    detect_landmarks,
    precision,
    scatter,
    suggest_events,
    take_motion_out,
    track_landmarks,
)
from deliverylab.api.planning import field_sheet, trust
from deliverylab.api.progress import progress, repeatability
from deliverylab.api.projects import (
    example_path,
    example_project,
    open_project,
    save_project,
    write_page,
)
from deliverylab.api.results import (
    budget,
    compare,
    cross_check,
    fall_check,
    measure,
    peak_order,
    published,
    what_would_help,
)
from deliverylab.api.review import to_look_at
from deliverylab.api.sharing import pack, unpack, write_picture
from deliverylab.api.space import read_c3d, trajectories, write_c3d
from deliverylab.api.tables import (
    budgets,
    differences,
    events,
    read_table,
    results,
    tracks,
    write_table,
)
from deliverylab.api.walkthrough import walkthrough, walkthrough_script
from deliverylab.api.working import library, suggest_plan

__version__ = "0.1.0"
__all__ = [
    "__version__",
    "budget",
    "budgets",
    "chain",
    "compare",
    "cross_check",
    "detect_landmarks",
    "differences",
    "events",
    "example_path",
    "example_project",
    "fall_check",
    "field_sheet",
    "library",
    "measure",
    "open_project",
    "pack",
    "peak_order",
    "precision",
    "progress",
    "published",
    "read_c3d",
    "read_table",
    "repeatability",
    "results",
    "save_project",
    "scatter",
    "solve",
    "solve_camera",
    "suggest_events",
    "suggest_plan",
    "sync",
    "take_motion_out",
    "to_look_at",
    "track_landmarks",
    "tracks",
    "trajectories",
    "trust",
    "unpack",
    "walkthrough",
    "walkthrough_script",
    "what_would_help",
    "worst_places",
    "write_c3d",
    "write_page",
    "write_picture",
    "write_table",
]

# The core is loaded inside the functions, so that importing the package costs nothing.
