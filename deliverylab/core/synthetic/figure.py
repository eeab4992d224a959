"""A delivery of known truth: every landmark of a thrower at any instant, in metres."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from deliverylab.core.synthetic.lower_body import LowerBody, step
from deliverylab.core.synthetic.proportions import Proportions, proportions
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.synthetic.upper_body import UpperBody, swing
from deliverylab.core.vocabulary.events import EVENTS
from deliverylab.core.vocabulary.field import BY_KEY
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS, ROLE_KEYS, key_for_role

Array = NDArray[np.float64]

GRAVITY_M_S2 = 9.81
_HANDS_APART_M = 0.10  # hands this much farther apart than when together: the ball is out
# Where the ball crosses the front of the plate: middle of it, 0.75 m above. Invented.
_PLATE_FRONT_X_M = BY_KEY["baseball"].pitching_distance_m - 17 * 0.0254
_AIM_HEIGHT_M = 0.75 - BY_KEY["baseball"].rubber_height_m


class Motion:
    """Move the figure: positions at any instant, not only at frames.

    Parameters
    ----------
    spec : DeliverySpec

    Raises
    ------
    InputValueError
        Where the spec asks for what the legs do not reach or a turn slower than its angles.
    """

    def __init__(self, spec: DeliverySpec) -> None:
        self.spec = spec
        self.size: Proportions = proportions(spec.height_m, spec.sex)
        self._lower: LowerBody = step(spec, self.size)
        self._upper: UpperBody = swing(spec, self.size)
        self._times = spec.key_times()
        grip = self._roles(np.array([self._times["release"]]))["grip"][0]
        self._ball_from, self._ball_velocity = grip, _launch(grip, spec.ball_speed_m_s)

    def _roles(self, times_s: Array) -> dict[str, Array]:
        out = self._lower.at(times_s)
        return out | self._upper.at(times_s, out["mid_hip"])

    def _ball(self, times_s: Array, grip: Array) -> Array:
        flown = np.maximum(times_s - self._times["release"], 0.0)[:, None]
        flight = self._ball_from + self._ball_velocity * flown
        flight = flight - np.array([0.0, 0.0, 0.5 * GRAVITY_M_S2]) * flown**2
        flight[flight[:, 0] > _PLATE_FRONT_X_M] = np.nan
        return np.where(flown > 0.0, flight, grip)

    def positions_at(self, times_s: ArrayLike) -> dict[str, Array]:
        """Place all landmarks.

        Parameters
        ----------
        times_s : array_like, shape (n,), s
            On the clip's clock.

        Returns
        -------
        dict of str to Array, each shape (n, 3), m
            In the field frame; anatomical keys. The ball is NaN after it has crossed the plate.
        """
        roles = self._everything(times_s)
        return {key_for_role(r, self.spec.hand): roles[r] for r in ROLE_KEYS}

    def gaze_at(self, times_s: ArrayLike) -> Array:
        """Point where the face looks.

        Parameters
        ----------
        times_s : array_like, shape (n,), s

        Returns
        -------
        Array, shape (n, 3)
            Unit vectors.
        """
        return self._everything(times_s)["face"]

    def _everything(self, times_s: ArrayLike) -> dict[str, Array]:
        times = np.atleast_1d(np.asarray(times_s, dtype=float))
        roles = self._roles(times)
        roles["ball"] = self._ball(times, roles["grip"])
        if self.spec.hand == "left":
            mirror = np.array([1.0, -1.0, 1.0])
            roles = {key: value * mirror for key, value in roles.items()}
        return roles

    def events(self) -> dict[str, float]:
        """Give the instants of all events, s on the clip's clock, in their order."""
        lift = self._times["leg_lift"]
        parting = self._hands_parting_s(
            lift, 0.5 * (lift + self.spec.lift_to_break_s + self._times["push"])
        )
        known = {**self._times, "hand_break": parting}
        return {event.key: known[event.key] for event in EVENTS}

    def _hands_parting_s(self, low_s: float, high_s: float) -> float:
        """Find when the hands are farther apart than when together: a net drawn tighter."""
        together_m = self._hands_apart_m(np.array([low_s]))[0]
        for _ in range(3):
            times_s = np.linspace(low_s, high_s, 100)
            beyond_m = self._hands_apart_m(times_s) - together_m - _HANDS_APART_M
            row = int(np.argmax(beyond_m > 0.0))
            low_s, high_s = times_s[row - 1], times_s[row]
        share = beyond_m[row - 1] / (beyond_m[row - 1] - beyond_m[row])
        return float(low_s + share * (high_s - low_s))

    def _hands_apart_m(self, times_s: Array) -> Array:
        now = self._roles(times_s)
        out: Array = np.linalg.norm(now["throwing_hand"] - now["glove_hand"], axis=-1)
        return out


def _launch(start: Array, speed_m_s: float) -> Array:
    """Throw at the aim with a given speed under gravity alone."""
    aim = np.array([_PLATE_FRONT_X_M, 0.0, _AIM_HEIGHT_M]) - start
    flight = float(np.linalg.norm(aim)) / speed_m_s
    for _ in range(30):
        lifted = aim + np.array([0.0, 0.0, 0.5 * GRAVITY_M_S2 * flight**2])
        flight = float(np.linalg.norm(lifted)) / speed_m_s
    out: Array = lifted / flight
    return out


@dataclass(frozen=True, kw_only=True)
class SyntheticDelivery:
    """Hold one delivery sampled at a rate, with its truth.

    Attributes
    ----------
    spec : DeliverySpec
    motion : Motion
        For instants between the samples.
    times_s : Array, shape (n,), s
        On the clip's clock, from 0.
    positions_m : dict of str to Array, each shape (n, 3), m
        All landmarks in the field frame.
    events : dict of str to float, s
        On the clip's clock.
    """

    spec: DeliverySpec
    motion: Motion
    times_s: Array
    positions_m: dict[str, Array]
    events: dict[str, float]

    def stacked_m(self) -> Array:
        """Give all positions as one array, shape (n, landmarks, 3), in the vocabulary's order."""
        return np.stack([self.positions_m[key] for key in LANDMARK_KEYS], axis=1)


def build_delivery(spec: DeliverySpec, rate_hz: float = 240.0) -> SyntheticDelivery:
    """Build a delivery and sample it.

    Parameters
    ----------
    spec : DeliverySpec
    rate_hz : float, Hz

    Returns
    -------
    SyntheticDelivery

    Raises
    ------
    InputValueError
        Where the figure cannot do what the spec asks.
    """
    motion = Motion(spec)
    duration = spec.key_times()["release"] + spec.run_out_s
    times = np.arange(int(np.floor(duration * rate_hz)) + 1) / rate_hz
    return SyntheticDelivery(
        spec=spec,
        motion=motion,
        times_s=times,
        positions_m=motion.positions_at(times),
        events=motion.events(),
    )
