"""Measure the stage: painting, a drag with its readings, fetch and paint, the window while it warms.

Run it by hand: ``python tests/benchmarks/bench_canvas.py [--frames 960] [--size 1920x1080]``.
It writes its test clip (H.264, key frames 240 apart) into a temporary folder.  Painting goes into
memory (QT_QPA_PLATFORM=offscreen) unless another platform is set.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import numpy as np
from PySide6.QtCore import QElapsedTimer, QEvent, QObject, QPointF, Qt, QTimer
from PySide6.QtWidgets import QApplication, QWidget

from deliverylab.core.model.changes import SetDelivery
from deliverylab.core.model.track import Position, Track
from deliverylab.core.store.projectfile import clip_reference
from deliverylab.core.video.index import build_index
from deliverylab.core.video.writer import write_clip
from deliverylab.shell.drawing.scrub_scene import ScrubCurve, ScrubRow, ScrubScene
from deliverylab.shell.panes.scrub import ScrubPane
from deliverylab.shell.panes.stage import StagePane
from deliverylab.shell.session import Session
from deliverylab.shell.theme import theme
from deliverylab.shell.widgets.scrub_bar import ScrubBar
from deliverylab.shell.widgets.stage_canvas import StageCanvas
from tests.benchmarks.bench_video import say, scene, spread
from tests.shell.conftest import SCALE, camera_of, delivery_of, figure_tracks
from tests.shell.gestures import move, press, release

EVENTS_S = {"leg_lift": 0.5, "foot_contact": 1.2, "release": 1.35}


def timed(run: Callable[[], object], n_times: int = 120) -> str:
    """Return how long some runs took, by the clock and in this thread's own time.

    Where other work shares the processors, only the second says what the code costs.
    """
    walls_s, own_s = [], []
    for _ in range(n_times):
        start, own = time.perf_counter(), time.thread_time()
        run()
        walls_s.append(time.perf_counter() - start)
        own_s.append(time.thread_time() - own)
    p50, p95 = 1000 * np.percentile(own_s, [50, 95])
    return f"{spread(walls_s)}  own time p50 {p50:4.1f} p95 {p95:4.1f}"


def print_painting() -> None:
    """Paint 1280 x 720 with 25 landmarks from a 1080p picture."""
    rng = np.random.default_rng(0)
    pictures = [rng.integers(0, 255, (1080, 1920, 3), dtype=np.uint8) for _ in range(2)]
    canvas = StageCanvas()
    canvas.resize(1280, 720)
    places = {
        key: (400.0 + 45 * number, 200.0 + 31 * (number * 7 % 23), "placed")
        for number, key in enumerate((*figure_tracks([0]), "ball"))
    }
    canvas.set_picture(pictures[0], (1920, 1080))
    canvas.set_skeleton(places, "right")
    canvas.set_partner_skeleton(
        {key: (x + 20, y, s) for key, (x, y, s) in list(places.items())[:4]}
    )
    canvas.set_next_landmark("left_wrist", "glove wrist", "centre of the joint")
    canvas.show()
    QApplication.processEvents()
    number = 0

    def other_picture() -> None:
        nonlocal number
        number += 1
        canvas.set_picture(pictures[number % 2], (1920, 1080))
        canvas.repaint()

    say(f"paint, {len(places)} landmarks, same picture    {timed(canvas.repaint)}")
    say(f"take over and paint another picture  {timed(other_picture)}")
    canvas.scene.moving = "left_knee"
    say(f"paint while dragging, with loupe     {timed(canvas.repaint)}")
    canvas.close()


def print_scrub_bar() -> None:
    """Paint a bar of 4,000 frames."""
    bar = ScrubBar()
    bar.resize(1200, 260)
    axis = np.arange(4000) / 240.0
    rows = tuple(
        ScrubRow(side, side, axis, axis, np.abs(np.sin(axis)), EVENTS_S, 0, 3999)
        for side in ("athlete", "model")
    )
    curves = tuple(
        ScrubCurve(side, axis, np.sin(axis) * 30, np.full(4000, 2.0))
        for side in ("athlete", "model")
    )
    still = ScrubScene(rows, curves, "trunk forward tilt")
    bar.set_scene(still)
    bar.show()
    QApplication.processEvents()
    frame = 0

    def go_on() -> None:
        nonlocal frame
        frame += 7
        bar.set_frames({"athlete": frame, "model": frame}, f"frame {frame}")
        bar.repaint()

    def all_anew() -> None:
        bar.set_scene(still)
        bar.repaint()

    say(f"scrub bar, 4,000 frames, playhead    {timed(go_on)}")
    say(f"scrub bar, 4,000 frames, all anew    {timed(all_anew)}")
    bar.close()


def print_drag() -> None:
    """Drag a knee at foot contact: session, results, stage and scrub bar, each move to its paint."""
    session = Session()
    frame = round(EVENTS_S["foot_contact"] * 240)
    delivery = delivery_of(
        "Bo 1", n_frames=480, marks=EVENTS_S, scale=SCALE, tracks=figure_tracks(list(range(480)))
    )
    session.project.apply(SetDelivery(name="Bo 1", delivery=delivery))
    pane, scrub = StagePane(session, "athlete"), ScrubPane(session)
    for widget, height in ((pane, 720), (scrub, 260)):
        widget.resize(1280, height)
        widget.show()
    session.show_frame("athlete", frame)
    QApplication.processEvents()
    knee = session.camera("athlete").track("left_knee").at(frame)
    start = pane.canvas.view.to_widget(knee.x_px, knee.y_px)
    press(pane.canvas, start)
    times_s, own_s, edits_s = [], [], []
    for number in range(1, 121):
        begin, own = time.perf_counter(), time.thread_time()
        at = start + QPointF(0.7 * number, 0.3 * number)
        move(pane.canvas, at, buttons=Qt.MouseButton.LeftButton)
        session.results("athlete")
        edits_s.append(time.thread_time() - own)
        QApplication.processEvents()
        times_s.append(time.perf_counter() - begin)
        own_s.append(time.thread_time() - own)
        time.sleep(0.004)
    release(pane.canvas, start)
    say(f"drag: edit and results, own time     {spread(edits_s)}")
    say(f"drag: with stage, scrub bar, own     {spread(own_s)}")
    say(f"drag: the same by the clock          {spread(times_s)}")
    pane.release()
    pane.close()
    scrub.close()


def filmed_session(folder: Path, path: Path) -> Session:
    """Return a session with one delivery on this clip."""
    index = build_index(path)
    n_frames, width_px, height_px = index.n_frames, index.width_px, index.height_px
    camera = camera_of(n_frames=n_frames)
    tracks = {
        key: Track.of((frame, Position(x * 1.5, y * 1.5)) for frame, (x, y, *_) in track)
        for key, track in figure_tracks(list(range(0, n_frames, 4))).items()
    }
    session = Session()
    session.path = folder / "bench.delivery"
    session.project.apply(
        SetDelivery(
            name="Bo 1",
            delivery=delivery_of(
                "Bo 1",
                cameras=(
                    type(camera)(
                        name="side",
                        view="open-side",
                        width_px=width_px,
                        height_px=height_px,
                        timing=camera.timing,
                        tracks=tracks,
                        clip=clip_reference(path, session.path),
                    ),
                ),
            ),
        )
    )
    return session


def print_clip(clip: Path | None, n_frames: int, width_px: int, height_px: int) -> None:
    """Warm a clip with the window alive, then jump and step in it."""
    with tempfile.TemporaryDirectory() as name:
        if clip is None:
            clip = Path(name) / "long.mp4"
            write_clip(clip, scene(n_frames, width_px, height_px), 240, gop=240)
        session = filmed_session(Path(name), clip)
        n_frames = session.camera("athlete").timing.n_frames
        start = time.perf_counter()
        pane = StagePane(session, "athlete")
        pane.resize(1280, 800)
        pane.show()
        QApplication.processEvents()
        say(f"stage opened                         {1000 * (time.perf_counter() - start):.0f} ms")
        gaps_s = warmed_gaps(pane)
        say(f"warmed in                            {time.perf_counter() - start:.1f} s")
        say(f"16 ms timer while warming, painting  {spread(gaps_s)}")
        rng = np.random.default_rng(0)
        jumps = rng.integers(0, n_frames, 300).tolist()
        say(f"jump: fetch and paint                {shown(session, pane, jumps)}")
        steps = list(range(200, 500))
        say(f"step: fetch and paint                {shown(session, pane, steps)}")
        exact_s = []
        for frame in jumps[:30]:
            session.show_frame("athlete", frame)
            begin = time.perf_counter()
            while not pane.canvas.is_exact:
                QApplication.processEvents()
                time.sleep(0.001)
            exact_s.append(time.perf_counter() - begin)
        say(f"exact after the hand rests (80 ms)   {spread(exact_s)}")
        pane.release()
        pane.close()


def warmed_gaps(pane: StagePane) -> list[float]:
    """Repaint on a 16 ms timer until the clip is warm; return the gaps between ticks, s."""
    gaps_s: list[float] = []
    clock = QElapsedTimer()
    clock.start()

    def tick() -> None:
        gaps_s.append(clock.nsecsElapsed() * 1e-9)
        clock.restart()
        pane.canvas.scene.layer._scaled_for = None
        pane.canvas.update()

    timer = QTimer()
    timer.setTimerType(Qt.TimerType.PreciseTimer)
    timer.setInterval(16)
    timer.timeout.connect(tick)
    timer.start()
    fractions: list[float] = [0.0]
    pane.feed.warmed.connect(fractions.append)
    while fractions[-1] < 1.0:
        QApplication.processEvents()
        time.sleep(0.0005)
    timer.stop()
    return gaps_s[1:]


class Painted(QObject):
    """Notes when a widget is painted; the painting is over when the event loop returns."""

    def __init__(self, widget: QWidget) -> None:
        super().__init__(widget)
        self.n_times = 0
        widget.installEventFilter(self)

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:  # noqa: N802 - Qt's name
        """Count, and let the event through."""
        self.n_times += event.type() == QEvent.Type.Paint
        return False


def shown(session: Session, pane: StagePane, frames: list[int]) -> str:
    """Show frames one after another; return the time until each is painted."""
    times_s = []
    painted = Painted(pane.canvas)
    arrived: dict[int, int] = {}
    pane.feed.picture_arrived.connect(
        lambda served: arrived.setdefault(served.frame, painted.n_times)
    )
    for frame in frames:
        if frame == session.state("athlete").frame:
            continue
        arrived.clear()
        begin = time.perf_counter()
        session.show_frame("athlete", frame)
        while frame not in arrived or painted.n_times <= arrived[frame]:
            QApplication.processEvents()
        times_s.append(time.perf_counter() - begin)
        time.sleep(0.004)
        QApplication.processEvents()
    return spread(times_s)


def main() -> None:
    """Print all figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--clip", type=Path, help="use this clip instead of writing one")
    parser.add_argument("--frames", type=int, default=960)
    parser.add_argument("--size", default="1920x1080")
    asked = parser.parse_args()
    width_px, height_px = (int(part) for part in asked.size.split("x"))
    app = QApplication(sys.argv[:1])
    theme().apply(app)
    say(f"platform {app.platformName()}")
    print_painting()
    print_scrub_bar()
    print_drag()
    print_clip(asked.clip, asked.frames, width_px, height_px)


if __name__ == "__main__":
    main()
