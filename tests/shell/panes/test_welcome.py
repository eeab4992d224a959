from __future__ import annotations

from PySide6.QtWidgets import QPushButton

from deliverylab.shell.panes.welcome import N_SHOWN, WelcomePane


def test_each_way_to_begin_is_one_press(qtbot):
    pane = WelcomePane()
    qtbot.addWidget(pane)
    for button, signal in (
        (pane._clip, pane.clip_wanted),
        (pane._project, pane.project_wanted),
        (pane._example, pane.example_wanted),
        (pane._plan, pane.plan_wanted),
    ):
        with qtbot.waitSignal(signal):
            button.click()


def test_files_opened_last_are_offered(qtbot):
    pane = WelcomePane()
    qtbot.addWidget(pane)
    pane.show_recent([f"/visits/{number}.delivery" for number in range(9)])
    links = [one for one in pane.findChildren(QPushButton) if one.toolTip()]
    assert [one.text() for one in links] == [str(number) for number in range(N_SHOWN)]
    with qtbot.waitSignal(pane.recent_chosen) as blocker:
        links[2].click()
    assert blocker.args == ["/visits/2.delivery"]
    pane.show_recent([])
    qtbot.wait(10)
    assert not [one for one in pane.findChildren(QPushButton) if one.toolTip()]
