from __future__ import annotations

from deliverylab.core.video.findings import ClipFinding
from deliverylab.shell.widgets.clip_findings import ClipFindings, finding_text

LOST = ClipFinding(
    kind="dropped", frames=((3, 4),), certainty="possible", what="pictures seem to be lost",
    follows="speeds are withheld", remedy="use the recording", withholds_speeds=True,
)  # fmt: skip
GAPS = ClipFinding(
    kind="gaps", frames=((8, 9),), certainty="certain", what="pictures are missing",
    follows="each picture's own time is used",
)  # fmt: skip


def test_a_finding_is_said_with_how_sure_it_is_what_follows_and_what_to_do():
    assert finding_text(LOST) == (
        "Perhaps: pictures seem to be lost.", "Speeds are withheld. Use the recording."
    )  # fmt: skip
    assert finding_text(GAPS)[0] == "Pictures are missing."


def test_what_withholds_something_stands_first_and_nothing_is_shown_where_nothing_is(qtbot):
    found = ClipFindings()
    qtbot.addWidget(found)
    found.show_found((), ())
    assert found.isHidden()
    assert found.text == ""
    found.show_found(("It is stored at 30.",), (GAPS, LOST))
    assert not found.isHidden()
    lines = found.text.splitlines()
    assert lines[0].startswith("Perhaps")
    assert lines[-1] == "It is stored at 30."
