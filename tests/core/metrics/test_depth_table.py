"""The table of expected depths comes from the population of varied deliveries, and is up to date.

Run ``python tests/core/metrics/test_depth_table.py`` to write it anew (half a minute).
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest

from deliverylab.core.errors import InputValueError
from deliverylab.core.metrics.depth_table import DEPTHS, EVENTS, N_MODES, ROLES
from deliverylab.core.synthetic.figure import Motion
from deliverylab.core.synthetic.population import varied_spec
from deliverylab.core.vocabulary.landmarks import key_for_role

N_WRITTEN = 1500
AXES = ("ahead", "across")
LEAST_OWN = 10.0


def drawn_depths(n, seed):
    """Return places of n pitchers in mm per metre of height, shape (n, events, roles, 2)."""
    rng = np.random.default_rng(seed)
    found = []
    while len(found) < n:
        spec = varied_spec(rng)
        try:
            motion = Motion(spec)
        except InputValueError:
            continue
        times = spec.key_times()
        placed = motion.positions_at([times[event] for event in EVENTS])
        sign = 1.0 if spec.hand == "right" else -1.0
        places = np.stack([placed[key_for_role(role, spec.hand)] for role in ROLES], axis=1)
        found.append(1000.0 * places[..., :2] * [1.0, sign] / spec.height_m)
    return np.array(found)


def modes_of(places):
    """Return mean, modes (N_MODES, roles) and what is left to each role, of (n, roles) places."""
    mean = places.mean(0)
    _, sizes, directions = np.linalg.svd(places - mean, full_matrices=False)
    modes = directions[:N_MODES] * sizes[:N_MODES, None] / np.sqrt(len(places) - 1)
    modes *= np.sign(modes[np.arange(N_MODES), np.abs(modes).argmax(1)])[:, None]
    left = places.var(0, ddof=1) - (modes**2).sum(0)
    return mean, modes, np.maximum(np.sqrt(np.maximum(left, 0.0)), LEAST_OWN)


@pytest.fixture(scope="module")
def drawn():
    return drawn_depths(150, seed=99)


@pytest.mark.parametrize("axis", AXES)
@pytest.mark.parametrize("event", EVENTS)
def test_table_gives_mean_and_spread_of_other_draws(drawn, event, axis):
    places = drawn[:, EVENTS.index(event), :, AXES.index(axis)]
    table = np.array([DEPTHS[event, axis][role] for role in ROLES])
    sd = np.sqrt((table[:, 1:] ** 2).sum(1))
    # four standard errors of a mean of 150 draws, and a rounding to whole mm
    assert np.all(np.abs(places.mean(0) - table[:, 0]) < 4.0 * sd / np.sqrt(150.0) + 1.0)
    # the table is never narrower than the draws by more than their sampling error
    assert np.all(places.std(0) < sd * (1.0 + 4.0 / np.sqrt(300.0)) + 1.0)


def test_what_moves_together_is_kept_together(drawn):
    places = drawn[:, EVENTS.index("release"), :, 1]
    table = np.array([DEPTHS["release", "across"][role] for role in ROLES])
    a, b = ROLES.index("throwing_shoulder"), ROLES.index("glove_shoulder")
    common = table[a, 1 : 1 + N_MODES] @ table[b, 1 : 1 + N_MODES]
    # four standard errors of a covariance of 150 draws
    allowed = 4.0 * np.prod(places[:, [a, b]].std(0)) / np.sqrt(75.0)
    assert common == pytest.approx(np.cov(places[:, a], places[:, b])[0, 1], abs=allowed)


HEAD = '''"""Where landmarks are usually found off the plane of motion: mean and spread, by event and role.

Written by ``python tests/core/metrics/test_depth_table.py`` from {n} varied deliveries of our own
figure around published means (`core.synthetic.population`): a simulation, not a measurement of
people.  Millimetres per metre of body height, mirrored for left-handers; ``ahead`` from the rubber's
front edge to the plate, ``across`` from the line to the plate, to the glove side.

Each row: the mean; {modes} modes in which all landmarks of an event vary together (principal components,
one standard deviation each); what is left to the landmark alone, at least {least:.0f}, for what the
figure does not vary (breadths, build).
"""

from __future__ import annotations

N_MODES = {modes}
EVENTS: tuple[str, ...] = {events}
ROLES: tuple[str, ...] = (
{roles}
)

DEPTHS: dict[tuple[str, str], dict[str, tuple[float, ...]]] = {{
'''


def write(path):
    places = drawn_depths(N_WRITTEN, seed=20)
    lines = [
        HEAD.format(
            n=N_WRITTEN, modes=N_MODES, least=LEAST_OWN, events=repr(EVENTS).replace("'", '"'),
            roles="\n".join(f'    "{role}",' for role in ROLES),
        )
    ]  # fmt: skip
    for number, event in enumerate(EVENTS):
        for column, axis in enumerate(AXES):
            mean, modes, own = modes_of(places[:, number, :, column])
            lines.append(f'    ("{event}", "{axis}"): {{\n')
            for row, role in enumerate(ROLES):
                values = ", ".join(f"{v:.0f}" for v in (mean[row], *modes[:, row], own[row]))
                lines.append(f'        "{role}": ({values.replace("-0,", "0,")}),\n')
            lines.append("    },\n")
    lines.append("}  # fmt: skip\n")
    path.write_text("".join(lines), encoding="utf-8")


if __name__ == "__main__":
    root = Path(__file__).resolve().parents[3]
    write(root / "deliverylab" / "core" / "metrics" / "depth_table.py")
    sys.stdout.write("written\n")
