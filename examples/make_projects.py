"""Make the finished example project: ``python examples/make_projects.py``.

Positions are the truth of the drawn clips with the scatter of a careful hand added, so that the
project looks like one that a person placed; marks are at the nearest frame, as a person sets them;
the field is clicked where it shows, with the scatter of a click, and said to be as a tape should
have put it.  Cameras and clocks are then solved as any project's are.  Run it after
``make_examples.py``.
"""

from __future__ import annotations

import argparse
import csv
import datetime as dt
import json
from pathlib import Path
from typing import Any

import numpy as np

from deliverylab.core.compare.chain import chain_of
from deliverylab.core.compare.difference import differences
from deliverylab.core.model.changes import Batch, SetProjectField
from deliverylab.core.model.clip_changes import SetMark, SetPositions, SetScale
from deliverylab.core.model.delivery import Camera, Mark
from deliverylab.core.model.field import U_CLICK_PX, CameraStand, ControlClick
from deliverylab.core.model.library import Library
from deliverylab.core.model.plan_changes import SetPlan
from deliverylab.core.model.project import Project
from deliverylab.core.model.scale import PlanarScale, Point
from deliverylab.core.model.space_changes import SetControlClick, SetField, SetStand
from deliverylab.core.model.track import Position
from deliverylab.core.store.projectfile import save_project
from deliverylab.core.workflow.intake import AthleteFacts, camera_from_clip, delivery_change
from deliverylab.core.workflow.planning import suggested_plan
from deliverylab.core.workflow.space_set_up import standard_field_set_up
from deliverylab.core.workflow.space_solve import SolveOutcome, solve

HERE = Path(__file__).resolve().parent
PLACING_PX = 1.5
"""Scatter of a placed point in either direction, px (standard deviation), and its stated u: what a
repeated placing would have shown."""
SCALE_POINT_PX = 1.5
ZOOM = 2.0
"""What the phones showed while they filmed: their focal lengths are only about what that means."""
RUBBER = ("rubber_front_left", "rubber_front_right", "rubber_back_right", "rubber_back_left")
"""Control points of the rubber's corners, in the order of the truth."""
BEFORE_FRAMES, AFTER_FRAMES = 30, 30
CLIPS = (
    # clip, delivery, camera, day of the throw
    ("athlete-side", "Aldery 1", "side", "2026-08-29"),
    ("athlete-rear", "Aldery 1", "rear", "2026-08-29"),
    ("model-side", "Model", "side", ""),
    ("model-rear", "Model", "rear", ""),
)


def truth_of(name: str, folder: Path) -> tuple[dict[str, Any], dict[int, dict[str, Point]]]:
    """Return a clip's truth, and its true positions by frame and landmark."""
    known = json.loads((folder / "truth" / f"{name}.json").read_text(encoding="utf-8"))
    frames: dict[int, dict[str, Point]] = {}
    with (folder / "truth" / f"{name}.csv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            place = Point(float(row["x_px"]), float(row["y_px"]))
            frames.setdefault(int(row["frame"]), {})[row["landmark"]] = place
    return known, frames


def placed_frames(marks: dict[str, int], n_frames: int) -> list[int]:
    """Return the frames in which landmarks are placed: every one from lift to release, and around."""
    first, last = marks["leg_lift"] - BEFORE_FRAMES, marks["release"] + AFTER_FRAMES
    return list(range(max(0, first), min(n_frames, last)))


def placed(
    frames: dict[int, dict[str, Point]], wanted: list[int], rng: np.random.Generator
) -> dict[str, dict[int, Position | None]]:
    """Return positions with the scatter of a hand, by landmark and frame; without the ball."""
    tracks: dict[str, dict[int, Position | None]] = {}
    for frame in wanted:
        for key, place in frames.get(frame, {}).items():
            if key == "ball":
                continue
            x_px, y_px = rng.normal((place.x_px, place.y_px), PLACING_PX).round(1)
            tracks.setdefault(key, {})[frame] = Position(float(x_px), float(y_px), PLACING_PX)
    return tracks


def scale_of(known: dict[str, Any], rng: np.random.Generator) -> PlanarScale:
    """Return the scale that a person would set.

    From the side it is the line taped from the rubber's front edge to the near end of the stick:
    it lies on both sides of the picture's middle, where the yaw hardly changes it.  From behind it
    is the stick itself, which lies across behind the rubber.
    """
    stick_m, is_side = known["scale_stick"]["points_m"], known["view"].endswith("side")
    clicks = rng.normal(known["scale_stick"]["points_px"], SCALE_POINT_PX).round(1)
    rubber = rng.normal(known["rubber"]["front_middle_px"], SCALE_POINT_PX).round(1)
    ends = (rubber, clicks[0]) if is_side else (clicks[0], clicks[1])
    length_m = np.linalg.norm(stick_m[0]) if is_side else known["scale_stick"]["length_m"]
    camera_m = np.array(known["camera"]["position_m"])
    distance_m = known["camera"]["distance_m"] if is_side else stick_m[0][0] - camera_m[0]
    return PlanarScale(
        a=Point(*map(float, ends[0])),
        b=Point(*map(float, ends[1])),
        length_m=round(float(length_m), 3),
        u_length_m=0.005,
        u_point_px=SCALE_POINT_PX,
        toward_plate=known["toward_plate"],
        distance_m=round(float(distance_m), 2),
        u_distance_m=0.2,
        yaw_deg=known["camera"]["yaw_deg"],
        u_yaw_deg=2.0,
        rubber=Point(*map(float, rubber)),
    )


def clicks_of(known: dict[str, Any], rng: np.random.Generator) -> dict[str, ControlClick]:
    """Return the clicks on the rubber's corners and on the middle of each cone's foot."""
    places = dict(zip(RUBBER, known["rubber"]["corners_px"], strict=True))
    places |= {key: cone["foot_px"] for key, cone in known["cones"].items()}
    clicks = {}
    for key, place in places.items():
        x_px, y_px = rng.normal(place, U_CLICK_PX).round(1)
        clicks[key] = ControlClick(x_px=float(x_px), y_px=float(y_px))
    return clicks


def take_in(project: Project, clip: str, delivery: str, name: str, date: str, folder: Path) -> None:
    """Add one clip with scale, marks and positions to the project."""
    known, frames = truth_of(clip, folder)
    rng = np.random.default_rng(sum(map(ord, clip)))
    camera, _ = camera_from_clip(
        folder / "clips" / f"{clip}.mp4",
        project_path=folder / "demo.delivery",
        view=known["view"],
        name=name,
    )
    person = known["athlete"]
    facts = AthleteFacts(
        name=person["name"],
        hand=person["hand"],
        height_m=person["height_m"],
        mass_kg=person["mass_kg"],
        sex=person["sex"],
    )
    project.apply(
        delivery_change(
            project.record,
            name=delivery,
            camera=camera,
            facts=facts,
            date=date,
            ball_speed_m_s=known["ball_speed_m_s"],
        )
    )
    project.apply(_work(camera, delivery, known, frames, rng))


def _work(
    camera: Camera,
    delivery: str,
    known: dict[str, Any],
    frames: dict[int, dict[str, Point]],
    rng: np.random.Generator,
) -> Batch:
    where = {"delivery": delivery, "camera": camera.name}
    marks = {key: camera.timing.frame_at(time_s) for key, time_s in known["events_s"].items()}
    times_s = camera.timing.times_s
    wanted = placed_frames(marks, camera.timing.n_frames)
    return Batch(
        label="Take an example in",
        changes=(
            SetScale(**where, scale=scale_of(known, rng)),
            *(
                SetMark(**where, event=key, mark=Mark(time_s=round(float(times_s[frame]), 6)))
                for key, frame in marks.items()
            ),
            SetPositions(**where, positions=placed(frames, wanted, rng)),
            SetStand(**where, stand=CameraStand(zoom=ZOOM)),
            *(
                SetControlClick(**where, point=key, click=click)
                for key, click in clicks_of(known, rng).items()
            ),
        ),
    )


def solve_cameras(project: Project, delivery: str) -> SolveOutcome:
    """Solve the cameras of a delivery on the standard field, and keep what comes out."""
    project.apply(SetField(delivery=delivery, field=standard_field_set_up()))
    outcome = solve(project, delivery)
    project.apply(outcome.changes)
    return outcome


def set_plan(project: Project, athlete: str, model: str) -> None:
    """Keep the plan that is suggested on the day of the throw."""
    a, b = project.delivery(athlete), project.delivery(model)
    chain = chain_of(differences(a, b))
    plan = suggested_plan(a, chain, Library(), today=dt.date.fromisoformat(a.date))
    project.apply(SetPlan(delivery=athlete, plan=plan))


def main() -> None:
    """Make the project."""
    parser = argparse.ArgumentParser(description="Make the finished example project.")
    parser.add_argument("--out", type=Path, default=HERE, help="folder (default: examples)")
    folder: Path = parser.parse_args().out
    project = Project()
    for clip, delivery, name, date in CLIPS:
        take_in(project, clip, delivery, name, date, folder)
    for name in ("Aldery 1", "Model"):
        solution = solve_cameras(project, name).solution
        findings = "; ".join(each.what for each in solution.findings)
        print(f"{name}: cameras {solution.trust}, worst {solution.worst_deg:.2f} deg {findings}")
    project.apply(SetProjectField(field="title", value="Alder Creek bullpen (invented)"))
    project.apply(SetProjectField(field="pair", value=("Aldery 1", "Model")))
    set_plan(project, "Aldery 1", "Model")
    save_project(project.record, folder / "demo.delivery")
    n_positions = sum(
        len(track)
        for delivery in project.record.deliveries
        for camera in delivery.cameras
        for track in camera.tracks.values()
    )
    print(f"demo.delivery: {len(project.record.deliveries)} deliveries, {n_positions} positions")


if __name__ == "__main__":
    main()
