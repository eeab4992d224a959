"""What every row of the tables of cues and drills keeps to."""

from __future__ import annotations

import re
from types import ModuleType
from typing import Any

from deliverylab.core.metrics.catalogue import BY_KEY

# words of torque, harm or verdict; nothing of the kind is said of a delivery here
FORBIDDEN = re.compile(
    r"\b(torque|injur\w*|safe\w*|danger\w*|risk\w*|stress\w*|protect\w*|always|never|whip\w*)\b",
    re.IGNORECASE,
)
LONGEST_CUE, LONGEST_HOW = 90, 240


def rows_of(module: ModuleType) -> tuple[Any, ...]:
    """Return all rows of a module's tables."""
    tables = [value for name, value in vars(module).items() if name.isupper() and name[0] != "_"]
    return tuple(row for table in tables if isinstance(table, tuple) for row in table)


def check_cues(rows: tuple[Any, ...]) -> None:
    """See that each names something measured, and is a short sentence that says nothing forbidden."""
    for cue in rows:
        assert cue.event in BY_KEY[cue.metric].result_events, cue
        for text in filter(None, (cue.text, cue.text_for_minors)):
            assert text[0].isupper(), text
            assert text.endswith("."), text
            assert len(text) <= LONGEST_CUE, text
            assert not FORBIDDEN.search(text), text
        assert cue.text != cue.text_for_minors, cue


def check_drills(rows: tuple[Any, ...]) -> None:
    """See that each serves something measured, says how often, and what it loads."""
    for drill in rows:
        for end in drill.serves:
            assert end.event in BY_KEY[end.metric].result_events, (drill.name, end)
        assert len(set(drill.serves)) == len(drill.serves) > 0, drill.name
        assert re.search(r"\d\u00a0×\u00a0\d|\d+ throws", drill.how), drill.name
        assert len(drill.how) <= LONGEST_HOW, drill.name
        assert not FORBIDDEN.search(f"{drill.name} {drill.how} {drill.caution}"), drill.name
        is_thrown = re.search(r"\bthrows?\b", drill.how) is not None
        assert is_thrown == (drill.arm_load == "throwing"), drill.name
