from __future__ import annotations

from deliverylab.core.compare import cues_above
from deliverylab.core.compare.drills import CUES
from tests.core.compare.exercise_rows import check_cues, rows_of


def test_every_row_is_sound_and_in_the_library():
    rows = rows_of(cues_above)
    assert rows
    check_cues(rows)
    assert set(rows) <= set(CUES)
