"""Every line of a budget says what would make it smaller, where anybody can."""

from __future__ import annotations

from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.remedies import REMEDIES, line, remedy_for
from deliverylab.core.metrics.spec import PLACING


def test_what_belongs_to_a_landmark_or_an_event_names_it():
    knee = line(PLACING, 1.0, "lead_knee", "foot_contact")
    assert knee.name == "placing the lead knee"
    assert knee.remedy == "place the lead knee at foot contact again, zoomed in"
    assert "step frame by frame" in remedy_for("timing of the event", "", "release")
    assert remedy_for("marking foot contact").startswith("mark foot contact more closely")
    assert remedy_for("scale length") == REMEDIES["scale length"]
    assert remedy_for("radar gun") == ""


def test_nearly_every_line_has_a_remedy(side, rear):
    lines = [part for f in (side, rear) for r in evaluate(f.delivery) for part in r.budget]
    assert len(lines) > 100
    # Nobody can make a radar gun, the air or the tables of segment weights better.
    without = {part.source for part in lines if not part.remedy}
    assert without <= {"radar gun", "segment weights", "drag of the air", "spin of the ball"}


def test_lines_are_largest_first_and_their_squares_make_u(side):
    for result in evaluate(side.delivery):
        sizes = [part.u for part in result.budget]
        assert sizes == sorted(sizes, reverse=True)
        assert all(size > 0.0 for size in sizes)
