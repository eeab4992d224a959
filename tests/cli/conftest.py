"""A project of two drawn deliveries, made by the commands themselves from true positions."""

from __future__ import annotations

import csv
import shutil

import pytest

from deliverylab.cli import main
from deliverylab.core.synthetic.scenario import example_clip
from deliverylab.core.synthetic.truth import position_rows

EVENTS = ("leg_lift", "foot_contact", "foot_plant", "full_layback", "release")
EXAMPLES = {"Ana 1": "athlete-side", "Model": "model-side"}


def _commands(folder, name, clip_name):
    clip = example_clip(clip_name)
    delivery = clip.delivery()
    table = folder / f"{clip_name}.csv"
    with table.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(("frame", "landmark", "x_px", "y_px"))
        writer.writerows(position_rows(clip))
    (ax, ay), (bx, by) = clip.camera().project(clip.stick.ends_m)
    project = str(folder / "measured.delivery")
    target = [project, "--delivery", name]
    size = "x".join(map(str, clip.size_px))
    yield [
        "new" if name == "Ana 1" else "add",
        *target,
        *("--size", size, "--frames", str(delivery.times_s.size), "--rate", "240"),
        *("--athlete", name.split()[0], "--hand", clip.spec.hand),
        *("--height", str(clip.spec.height_m), "--mass", "80"),
    ]
    points = f"{ax:.2f},{ay:.2f},{bx:.2f},{by:.2f}"
    yield [
        *("scale", *target, "--points", points, "--length", "1"),
        *("--distance", str(clip.distance_m), "--u-yaw-deg", "1"),
    ]
    yield ["mark", *target, *(f"{key}={delivery.events[key]:.4f}" for key in EVENTS)]
    yield ["place", *target, str(table)]


@pytest.fixture(scope="session")
def made(tmp_path_factory):
    folder = tmp_path_factory.mktemp("made")
    for name, clip_name in EXAMPLES.items():
        for command in _commands(folder, name, clip_name):
            assert main(command) == 0, command
    return folder / "measured.delivery"


@pytest.fixture
def project(made, tmp_path):
    """Return a copy of the measured project that a test may change."""
    return shutil.copyfile(made, tmp_path / "a.delivery")


@pytest.fixture
def run(capsys):
    """Return a function that runs a command and gives (status, output, errors)."""

    def run(*arguments):
        status = main([str(argument) for argument in arguments])
        said = capsys.readouterr()
        return status, said.out, said.err

    return run
