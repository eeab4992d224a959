from __future__ import annotations

from deliverylab.shell.widgets.stage_header import DEEDS, NO_PARTNER, StageHeader


def texts(button) -> list[str]:
    return [action.text() for action in button.menu().actions() if not action.isSeparator()]


def test_deliveries_are_offered_and_the_choice_is_told(qtbot):
    header = StageHeader("model")
    qtbot.addWidget(header)
    header.set_choice(["Bo 1", "Kim"], "Kim", ["side"], "side", may_be_none=True)
    deeds = [text for key, text in DEEDS if key != "remove_camera"]
    assert texts(header._name) == ["Bo 1", "Kim", NO_PARTNER, *deeds]
    chosen = []
    header.delivery_chosen.connect(chosen.append)
    for action in header._name.menu().actions():
        action.trigger()
    assert chosen == ["Bo 1", "Kim", ""]


def test_cameras_are_offered_only_where_there_is_a_choice(qtbot):
    header = StageHeader("athlete")
    qtbot.addWidget(header)
    header.set_choice(["Bo 1"], "Bo 1", ["side"], "side", may_be_none=False)
    assert header._camera.isHidden()
    header.set_choice(["Bo 1"], "Bo 1", ["side", "rear"], "rear", may_be_none=False)
    assert not header._camera.isHidden()
    cameras = []
    header.camera_chosen.connect(cameras.append)
    header._camera.menu().actions()[0].trigger()
    assert cameras == ["side"]


def test_a_long_line_gives_way(qtbot):
    header = StageHeader("athlete")
    qtbot.addWidget(header)
    text = (
        "a pitcher with a very long name · left-handed, drawn mirrored · open side · 240 a second"
    )
    header.set_facts(text)
    header.resize(220, 60)
    header.show()
    assert header.facts == text
    assert header._facts.text().endswith("…")
    assert header._facts.toolTip() == text
    assert header.minimumSizeHint().width() < 400
