from __future__ import annotations

import pytest
from msgspec.structs import replace

from deliverylab.core.errors import InputValueError, NotFoundError
from deliverylab.core.model.space import SetUpFinding, SolvedCamera, SpaceSolution


def _camera(name, **changed):
    return SolvedCamera(name=name, numbers=(0.0,) * 7, width_px=1920, height_px=1080, **changed)


def _solution(n=15, **changed):
    covariance = tuple(
        tuple(4e-8 if row == column else 0.0 for column in range(n)) for row in range(n)
    )
    cameras = (_camera("side"), _camera("rear", offset_s=0.125))
    values = {
        "points_m": {},
        "residuals": (),
        "worst_deg": 0.3,
        "trust": "good",
        "field_misfit": 1.0,
    }
    return SpaceSolution(**({"cameras": cameras, "covariance": covariance} | values | changed))


def test_a_solution_gives_cameras_and_clocks_by_name():
    solution = _solution()
    assert solution.camera("rear").offset_s == 0.125
    assert solution.u_offset_s("rear") == pytest.approx(2e-4)
    assert solution.u_offset_s("side") == 0.0
    with pytest.raises(NotFoundError, match="side, rear"):
        solution.camera("front")


def test_it_is_refused_by_its_trust_or_by_a_finding():
    assert not _solution().is_refused
    assert _solution(trust="refused").is_refused
    finding = SetUpFinding(key="swapped", severity="refused", what="a", where="b", remedy="c")
    assert _solution(findings=(finding,)).is_refused
    assert not _solution(findings=(replace(finding, severity="doubtful"),)).is_refused


@pytest.mark.parametrize("changed", [{"n": 14}, {"cameras": (_camera("side"),)}])
def test_numbers_that_do_not_belong_together_are_refused(changed):
    with pytest.raises(InputValueError):
        _solution(**changed)
