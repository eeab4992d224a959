"""Take pictures of the window's main states, for a person to look at.

    python tests/shell/screenshots.py FOLDER [PROJECT.delivery]

Without a project, invented deliveries without clips are shown.  DELIVERYLAB_SCREENSHOTS names the
folder where no argument does.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication, QWidget

from deliverylab.core.model.changes import SetDelivery, replace
from deliverylab.shell.app import application
from deliverylab.shell.dialogs.about import cautions_dialog, keys_dialog
from deliverylab.shell.dialogs.new_delivery import NewDeliveryDialog
from deliverylab.shell.dialogs.pack import PackPanel
from deliverylab.shell.dialogs.placing_again import PlacingAgainPanel
from deliverylab.shell.dialogs.tracking import TrackPanel
from deliverylab.shell.session import Session
from deliverylab.shell.settings import Settings
from deliverylab.shell.theme import theme
from deliverylab.shell.window.window import Window
from tests.shell.conftest import MARKS_A, MARKS_B, SCALE, delivery_of, figure_tracks
from tests.shell.filmed_twice import WRONG, named, of_many_origins, put, with_wrong_points
from tests.shell.gestures import click

SIZES = ((1280, 800), (1920, 1080))
LARGE_TYPE = 1.5


def settle(app: QApplication, seconds: float = 0.4) -> None:
    """Let the window work."""
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        app.processEvents()
        time.sleep(0.005)


def shoot(app: QApplication, widget: QWidget, folder: Path, name: str) -> None:
    """Save what a widget looks like."""
    settle(app)
    widget.grab().save(str(folder / f"{name}.png"))


def fill(session: Session, project: Path | None) -> None:
    """Open a project, or put invented deliveries on the stages."""
    if project is not None:
        session.open_project(project)
        return
    for delivery in (
        delivery_of("Bo 1", marks=MARKS_A, scale=SCALE, tracks=figure_tracks([24, 144, 180])),
        delivery_of("Kim 4", hand="left", marks=MARKS_B, scale=SCALE, tracks=figure_tracks([48])),
    ):
        session.project.apply(SetDelivery(name=delivery.name, delivery=delivery))
    session.set_pair("Bo 1", "Kim 4")


def shoot_page(app: QApplication, window: Window, folder: Path, name: str) -> None:
    """Save what the preview looks like: the page, whole, and the technical sheet."""
    window.show_page()
    for choose, which in (
        (lambda: None, ""),
        (lambda: window.page._sheet.show_whole(True), "-whole"),
        (lambda: window.page._kinds.button(1).click(), "-technical"),
    ):
        choose()
        settle(app, 3.0)
        shoot(app, window, folder, f"{name}{which}")
    window.page._sheet.show_whole(False)
    window.page._kinds.button(0).click()
    window.page.closed.emit()


def states(window: Window) -> dict[str, Callable[[], None]]:
    """Return the states in the order in which they are reached."""
    session = window.session

    def published() -> None:
        window.show_differences()
        session.choose_partner("published college")
        window.comparison.head.phases.setCurrentIndex(1)

    def progress() -> None:
        window.comparison.head.phases.setCurrentIndex(0)
        if window.session.partner() is not None:
            session.choose_partner(session.partner().name)
        window.show_progress()
        settle(application(), 3.0)

    def unfold() -> None:
        for row in list(window.readings.rows.values())[:2]:
            row.toggle()

    def scale() -> None:
        window.set_scale("athlete")

    def ball() -> None:
        window.find_ball()
        settle(QApplication.instance(), 2.0)

    def track() -> None:
        window.track_all()
        while isinstance(window.tool, TrackPanel) and window.tool.working.is_busy:
            settle(application(), 0.1)

    def plan() -> None:
        window.plan_set_up()
        while window.set_up is not None and not window.set_up.expectations:
            settle(application(), 0.1)

    def above() -> None:
        window.show_cameras()
        settle(application(), 1.5)

    def place_again() -> None:
        window.place_again()
        if isinstance(window.tool, PlacingAgainPanel):
            window.tool.placer.setText("Ida")
            window.tool.begin.click()

    def space() -> None:
        put(session, with_wrong_points(named(3, "Ana 3")), named(2, "Bo model"))
        session.go_to_event("foot_contact")
        window.show_space()
        settle(application(), 1.5)

    def both_clips() -> None:
        session.set_both_clips(True)
        session.show_frame("athlete", 150)
        session.remove_landmark("model", "left_wrist")
        session.choose_landmark("model", "left_wrist")

    def points() -> None:
        session.set_both_clips(False)
        window.step_point(1)
        settle(application(), 1.5)

    def guess() -> None:
        for key in ("right_elbow", "left_elbow", "right_wrist"):
            session.remove_landmark("athlete", key)
        session.accept_guess()

    def suggested() -> None:
        put(session, named(3, "Ana 3"), named(2, "Bo model"))
        for camera in session.delivery("athlete").cameras:
            session.project.replace_camera("Ana 3", replace(camera, marks={}))
        settle(application(), 1.5)
        window.do_step("events")

    def walkthrough() -> None:
        window.show_walkthrough()
        session.add_drawing(0, "athlete", "arrow", ((300.0, 200.0), (450.0, 260.0)))
        settle(application(), 2.0)

    def walkthrough_drawn() -> None:
        session.show_stop(0)
        window.tool.tools.buttons["circle"].click()

    def walkthrough_spoken() -> None:
        window.tool.show_take(
            "Recording. Stop 1 of 3: leg lift. Speak, then go on.", is_waiting=True
        )

    def walkthrough_large() -> None:
        window.tool.show_take("")
        window.show_walk_large()

    def work_on() -> None:
        window.show_work_on()
        window.tool.suggest.click()
        window.tool.suggest.clearFocus()
        settle(application(), 1.0)

    def library() -> None:
        window.show_library()
        window.tool.show_part("links")
        settle(application(), 1.0)

    def coordinates() -> None:
        put(session, of_many_origins(session.delivery("athlete")))
        session.look_at_point("Ana 3", "rear", WRONG[1][1], WRONG[1][0])
        window.show_coordinates()
        settle(application(), 1.5)

    def pack() -> None:
        session.go_to_event("release")
        window.show_pack()
        if isinstance(window.tool, PackPanel):
            window.tool.faces.setChecked(True)
            window.tool.show_preview()
            settle(application(), 3.0)

    def causes() -> None:
        window.show_causes()
        settle(application())
        boxes = window.causes.canvas.drawing.boxes
        if boxes:
            click(window.causes.canvas, boxes[-1].place.center())

    def over() -> None:
        window.lay_over_at_foot(is_wanted=True)
        session.lay_over(is_wanted=True)

    def bodies() -> None:
        session.lay_over(is_wanted=False)
        session.show_bodies_only(is_wanted=True)

    def curves() -> None:
        session.show_bodies_only(is_wanted=False)
        session.show_curves(is_wanted=True)

    return {
        "contact": lambda: session.go_to_event("foot_contact"),
        "unfolded": unfold,
        "release": lambda: session.go_to_event("release"),
        "over": over,
        "bodies": bodies,
        "curves": curves,
        "beside": lambda: session.show_curves(is_wanted=False),
        "causes": causes,
        "causes-gone": lambda: window.show_causes(is_wanted=False),
        "guess": guess,
        "walkthrough": walkthrough,
        "walkthrough-drawn": walkthrough_drawn,
        "walkthrough-spoken": walkthrough_spoken,
        "walkthrough-large": walkthrough_large,
        "differences": window.show_differences,
        "published": published,
        "progress": progress,
        "plan": plan,
        "scale": scale,
        "ball": ball,
        "fall": window.check_fall,
        "clip-time": window.show_clip_time,
        "track": track,
        "detect": window.show_detect,
        "place-again": place_again,
        "pack": pack,
        "work-on": work_on,
        "library": library,
        "field": window.show_field,
        "field-above": above,
        "field-sheet": window.show_field_sheet,
        "notice": lambda: (window.close_scale(), window.mark_event("finish")),
        "alone": lambda: session.select("model", None),
        "space": space,
        "above": lambda: window.space.canvas.look_from("above"),
        "both-clips": both_clips,
        "to-look-at": points,
        "suggested": suggested,
        "coordinates": coordinates,
    }


def take_large(app: QApplication, folder: Path, project: Path | None) -> None:
    """Take the main states in large type in the smaller window."""
    theme().apply(app, "dark", LARGE_TYPE)
    window = Window(
        Session(), Settings(QSettings(str(folder / "l.ini"), QSettings.Format.IniFormat))
    )
    window.resize(*SIZES[0])
    window.show()
    fill(window.session, project)
    settle(app, 2.5 if project else 0.3)
    for name, reach in states(window).items():
        reach()
        shoot(app, window, folder, f"large-{name}")
    window.session.undo_stack.setClean()
    window.close()


def take(folder: Path, project: Path | None) -> None:
    """Take all pictures, in both looks and sizes."""
    folder.mkdir(parents=True, exist_ok=True)
    app = application()
    store = QSettings(str(folder / "settings.ini"), QSettings.Format.IniFormat)
    store.clear()
    for look in ("dark", "light"):
        settings = Settings(store)
        settings.put("look", look)
        theme().apply(app, look, 1.0)
        for width, height in SIZES:
            window = Window(Session(), settings)
            window.resize(width, height)
            window.show()
            shoot(app, window, folder, f"{look}-{width}-empty")
            fill(window.session, project)
            settle(app, 2.5 if project else 0.3)
            for name, reach in states(window).items():
                if name == "alone" and width == SIZES[0][0]:
                    shoot_page(app, window, folder, f"{look}-{width}-page")
                reach()
                shoot(app, window, folder, f"{look}-{width}-{name}")
            if width == SIZES[0][0]:
                clips = sorted((Path(__file__).parents[2] / "examples" / "clips").glob("*.mp4"))
                for name, dialog in (
                    ("new", NewDeliveryDialog(window.session, clips[0] if clips else None)),
                    (
                        "facts",
                        NewDeliveryDialog(
                            window.session, existing=window.session.delivery_names()[0]
                        ),
                    ),
                    ("keys", keys_dialog()),
                    ("cautions", cautions_dialog()),
                ):
                    dialog.show()
                    settle(app, 1.5 if name == "new" else 0.1)
                    shoot(app, dialog, folder, f"{look}-dialog-{name}")
                    dialog.close()
            window.session.undo_stack.setClean()
            window.close()
    take_large(app, folder, project)


if __name__ == "__main__":
    given = sys.argv[1:]
    target = given[0] if given else os.environ.get("DELIVERYLAB_SCREENSHOTS", "screenshots")
    take(Path(target), Path(given[1]) if len(given) > 1 else None)
