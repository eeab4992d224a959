from __future__ import annotations

import msgspec

from deliverylab.core.metrics.remedies import line
from deliverylab.core.metrics.spec import PLACING
from deliverylab.shell.drawing.reading_detail import (
    CHECKING,
    ReadingDetail,
    about_html,
    after_html,
    factor_text,
    how_measured,
)
from tests.shell.test_value_text import result_of

BUDGET = (line(PLACING, 0.015, "throwing_hand", "release"), line("scale length", 0.01))
RESULT = result_of(
    definition="height of the hand at release",
    view="open-side",
    camera="side",
    budget=BUDGET,
    cautions=("the camera was near",),
)


def test_the_explanation_names_meaning_and_limit():
    html = about_html(RESULT, "how high", "not <why>")
    for part in (
        "height of the hand at release",
        "<b>Tells:</b> how high",
        "not &lt;why&gt;",
    ):
        assert part in html


def test_what_follows_says_what_helps_most_with_a_way_there():
    html = after_html(RESULT, "metric")
    assert "place the throwing hand at release again, zoomed in" in html
    assert '<a href="act">Place it again</a>' in html
    assert "the camera was near" in html
    assert "open side" in html
    assert 'href="event"' in html
    assert 'href="check"' in html
    assert "Published" not in html


def test_published_groups_are_context_and_a_far_value_asks_about_marks():
    fields = {"metric": "stride_length", "event": "", "unit": "% height", "decimals": 0}
    near = result_of(84.0, 1.0, unit="% height", decimals=0, event="")
    near = type(near)(**{name: getattr(near, name) for name in near.__struct_fields__} | fields)
    html = after_html(near, "metric")
    assert "<b>Published:</b> 84.6" in html
    assert "Kageyama et al. 2015" in html
    assert "Far outside" not in html
    far = type(near)(
        **{name: getattr(near, name) for name in near.__struct_fields__} | {"value": 40.0}
    )
    assert "Far outside what is published: is" in after_html(far, "metric")


def test_the_factor_is_said_where_it_is_not_the_usual_one():
    assert factor_text(RESULT) == ""
    assert factor_text(result_of(n_degrees_of_freedom=6.0)).startswith(" (k = 2.5")


def test_its_links_are_wishes_and_a_check_belongs_to_one_result(qtbot):
    detail = ReadingDetail("", "")
    qtbot.addWidget(detail)
    detail.show_result(RESULT, "metric")
    detail.show()
    assert [one.name for one in detail.bars.lines] == [
        "placing the throwing hand",
        "scale length",
    ]
    with qtbot.waitSignal(detail.act_wanted) as blocker:
        detail.after.linkActivated.emit("act")
    act = blocker.args[0]
    assert (act.place, act.event, act.role) == ("landmark", "release", "throwing_hand")
    with qtbot.waitSignal(detail.check_wanted):
        detail.after.linkActivated.emit("check")
    assert detail.check.text() == CHECKING
    detail.show_result(RESULT, "imperial")
    assert detail.check.text() == CHECKING
    detail.show_result(result_of(0.6), "metric")
    assert detail.check.isHidden()
    assert detail.bars.isHidden()


def test_it_is_said_from_where_a_value_was_seen_and_whether_it_is_estimated():
    def said(view, status="measured"):
        return how_measured(msgspec.structs.replace(result_of(view=view), status=status))

    assert said("space") == "Measured by both cameras together."
    assert said("space", "estimated") == "Estimated from both cameras together."
    assert said("rear").startswith("Seen from ")
    assert said("rear", "estimated").startswith("Estimated, not measured, as seen from ")
    assert said("") == ""
    assert said("", "estimated") == "Estimated, not measured."
    assert "Measured by both cameras together." in after_html(result_of(view="space"), "metric")
