"""Make the example visits: ``python examples/make_visits.py``.

The athlete of the demo came in July, before it, and in October, after weeks on its plan (all invented):
four throws a visit, one phone from the open side, landmarks placed around leg lift and from foot
contact to release.  Each throw varies a little about the athlete's own way of that day.  There are
no clips: these projects hold positions only, as ones imported from elsewhere do.
"""

from __future__ import annotations

import argparse
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from make_projects import PLACING_PX, scale_of

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery, Mark
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Position, Track
from deliverylab.core.store.projectfile import save_project
from deliverylab.core.synthetic.scenario import ExampleClip, example_clip
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.synthetic.truth import clip_truth, positions_px
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS

HERE = Path(__file__).resolve().parent
N_THROWS = 4
AROUND_FRAMES = 10
"""Landmarks are placed so many frames before and after what is measured: speeds need neighbours."""
# From throw to throw of one athlete: judgement, a few degrees as experienced throwers keep
STRIDE_SD_PERCENT, ANGLE_SD_DEG, SPEED_SD_M_S = 0.8, 1.5, 0.02


@dataclass(frozen=True)
class Visit:
    """One visit: its file, its day, and how the athlete threw that day."""

    name: str
    date: str
    spec: DeliverySpec
    seed: int


def visits(august: DeliverySpec) -> tuple[Visit, ...]:
    """Return the visits around the demo's: before it, and after weeks on its plan."""
    july = replace(august, stride_percent_height=76.0, forward_speed_m_s=(0.15, 1.43))
    october = replace(
        august,
        ball_speed_m_s=33.4,
        stride_percent_height=80.5,
        forward_speed_m_s=(0.28, 1.68),
        trunk_forward_deg=(-2.5, -10.0, -1.0, 9.5, 21.0),
        lead_knee_flexion_deg=(108.0, 36.0, 44.0, 45.0, 43.0),
    )
    return (
        Visit("july", "2026-07-18", july, 7),
        Visit("october", "2026-10-03", october, 10),
    )


def thrown(spec: DeliverySpec, rng: np.random.Generator) -> DeliverySpec:
    """Return one throw: the day's way with the scatter of one athlete."""
    trunk = np.array(spec.trunk_forward_deg) + rng.normal(0.0, ANGLE_SD_DEG)
    knee = np.array(spec.lead_knee_flexion_deg)
    knee[2:] += rng.normal(0.0, ANGLE_SD_DEG)
    lift, contact = np.array(spec.forward_speed_m_s) + rng.normal(0.0, SPEED_SD_M_S)
    return replace(
        spec,
        stride_percent_height=spec.stride_percent_height + rng.normal(0.0, STRIDE_SD_PERCENT),
        trunk_forward_deg=tuple(trunk.tolist()),
        lead_knee_flexion_deg=tuple(knee.tolist()),
        forward_speed_m_s=(float(lift), float(contact)),
        lead_in_s=spec.lead_in_s + rng.uniform(0.0, 0.004),
    )


def delivery_of(clip: ExampleClip, name: str, date: str, rng: np.random.Generator) -> Delivery:
    """Return a throw as a person would have placed it."""
    known = clip_truth(clip)
    rate_hz = float(clip.rate_hz)
    marks = {key: round(time_s * rate_hz) for key, time_s in known["events_s"].items()}
    wanted = np.concatenate(
        [
            np.arange(marks[first] - AROUND_FRAMES, marks[last] + AROUND_FRAMES + 1)
            for first, last in (("leg_lift", "leg_lift"), ("foot_contact", "release"))
        ]
    )
    where = positions_px(clip)
    tracks = {}
    for number, key in enumerate(LANDMARK_KEYS):
        places = rng.normal(where[wanted, number], PLACING_PX).round(1)
        if key != "ball":
            tracks[key] = Track.of(
                (int(frame), Position(float(x_px), float(y_px), PLACING_PX))
                for frame, (x_px, y_px) in zip(wanted, places, strict=True)
                if np.isfinite(x_px)
            )
    width_px, height_px = clip.size_px
    camera = Camera(
        name="side",
        view=clip.view,
        width_px=width_px,
        height_px=height_px,
        timing=Timing(n_frames=len(where), stored_rate=str(clip.rate_hz)),
        scale=scale_of(known, rng),
        marks={key: Mark(time_s=round(frame / rate_hz, 6)) for key, frame in marks.items()},
        tracks=tracks,
    )
    person = known["athlete"]
    athlete = Athlete(
        name=person["name"],
        hand=person["hand"],
        height_m=person["height_m"],
        mass_kg=person["mass_kg"],
        sex=person["sex"],
    )
    speed_m_s = round(clip.spec.ball_speed_m_s + rng.normal(0.0, 0.3), 1)
    return Delivery(
        name=name, athlete=athlete, cameras=(camera,), date=date, ball_speed_m_s=speed_m_s
    )


def main() -> None:
    """Make the projects."""
    parser = argparse.ArgumentParser(description="Make the example visits.")
    parser.add_argument("--out", type=Path, default=HERE, help="folder (default: examples)")
    folder: Path = parser.parse_args().out / "visits"
    folder.mkdir(parents=True, exist_ok=True)
    clip = example_clip("athlete-side")
    for visit in visits(clip.spec):
        rng = np.random.default_rng(visit.seed)
        deliveries = tuple(
            delivery_of(
                replace(clip, spec=thrown(visit.spec, rng)),
                f"Aldery {visit.name} {number}",
                visit.date,
                rng,
            )
            for number in range(1, N_THROWS + 1)
        )
        record = ProjectRecord(
            title=f"Alder Creek bullpen, {visit.name} (invented)", deliveries=deliveries
        )
        save_project(record, folder / f"aldery-{visit.name}.delivery")
        print(f"visits/aldery-{visit.name}.delivery: {len(deliveries)} deliveries")


if __name__ == "__main__":
    main()
