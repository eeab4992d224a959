from __future__ import annotations

from deliverylab.core.compare import drills_above
from deliverylab.core.compare.drills import DRILLS
from tests.core.compare.exercise_rows import check_drills, rows_of


def test_every_row_is_sound_and_in_the_library():
    rows = rows_of(drills_above)
    assert rows
    check_drills(rows)
    assert set(rows) <= set(DRILLS)
