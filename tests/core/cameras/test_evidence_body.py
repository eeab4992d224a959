from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from deliverylab.core.cameras.evidence_body import BodyEvidence
from deliverylab.core.cameras.unknowns import Unknowns
from deliverylab.core.errors import InputValueError
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS
from tests.core.cameras.filmed import standard

UNKNOWNS = Unknowns(sizes_px=((1920, 1080),) * 2, radials=(0.0, 0.0), n_deliveries=1, point_keys=())


def made():
    filmed = standard()
    delivery = replace(filmed.delivery, offsets_s=(float(filmed.offsets_s[1]),))
    numbers = [*(camera.parameters for camera in filmed.cameras), filmed.offsets_s[1:]]
    return BodyEvidence(UNKNOWNS, 0, delivery), np.concatenate(numbers)


def test_residuals_at_the_truth_are_as_large_as_their_u():
    body, truth = made()
    residuals = body.residuals(truth)
    kinds = np.array([row.kind for row in body.rows])
    used = residuals[(kinds == "body") & (residuals != 0.0)]
    # some 900 nearly independent values
    assert np.sqrt(np.mean(used**2)) == pytest.approx(1.0, abs=0.12)
    assert np.abs(residuals[kinds == "height"]).max() < 3.0
    assert np.abs(residuals[kinds == "contact"]).max() < 3.0
    assert np.abs(residuals[kinds == "segment"]).max() < 3.0
    assert len(body.rows) == len(residuals)


def test_slopes_are_those_of_larger_steps():
    body, truth = made()
    slopes = body.jacobian(truth)
    for column, step in ((0, 1e-5), (4, 1e-4), (13, 1e-5), (14, 1e-4)):
        move = step * (np.arange(UNKNOWNS.n) == column)
        by_step = (body.residuals(truth + move) - body.residuals(truth - move)) / (2.0 * step)
        scale = np.abs(by_step).max()
        assert slopes[:, column] == pytest.approx(by_step, abs=2e-3 * scale)


def test_a_wrong_place_is_left_out():
    body, truth = made()
    delivery = body.delivery
    places = delivery.tracks[0].places_px.copy()
    wrist = LANDMARK_KEYS.index("left_wrist")
    places[60:70, wrist, 1] += 60.0
    spoilt = replace(delivery.tracks[0], places_px=places)
    wrong = BodyEvidence(UNKNOWNS, 0, replace(delivery, tracks=(spoilt, delivery.tracks[1])))
    kept = wrong.refined(truth)
    lost = (wrong.is_used & ~kept.is_used)[0]
    assert lost[:, wrist].any()
    assert lost.sum() - lost[:, wrist].sum() < 5


def test_an_unknown_height_says_nothing_and_strange_clocks_are_refused():
    body, truth = made()
    blank = replace(body.delivery, facts=replace(body.delivery.facts, height_m=float("nan")))
    without = BodyEvidence(UNKNOWNS, 0, blank)
    row = [row.kind for row in without.rows].index("height")
    assert without.residuals(truth)[row] == 0.0
    assert body.n_informative == without.n_informative + 1
    with pytest.raises(InputValueError, match="share no time"):
        BodyEvidence(UNKNOWNS, 0, replace(body.delivery, offsets_s=(20.0,)))


def test_places_at_the_edge_of_a_gap_do_not_spoil_the_slopes():
    body, truth = made()
    delivery = body.delivery
    places = delivery.tracks[1].places_px.copy()
    places[30:33, 4:12] = np.nan
    gappy = replace(delivery.tracks[1], places_px=places)
    with_gap = BodyEvidence(UNKNOWNS, 0, replace(delivery, tracks=(delivery.tracks[0], gappy)))
    assert with_gap.is_used.sum() < body.is_used.sum()
    assert np.abs(with_gap.jacobian(truth)).max() < 1.1 * np.abs(body.jacobian(truth)).max()
