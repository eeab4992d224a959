"""The constants of event suggestions, in one place, and how far each rule may miss the event.

What happens how long or how far from what (the ball after the hand's peak, layback before it, the ankle
at rest) is common practice with captured deliveries, not fitted to our figure.  The levels of the sole,
the windows, the share of a last peak and the speed of a throw are judgement, compared on the figure.  The
spreads are what a rule leaves: the larger of what was seen with five captured deliveries and, in round
numbers, the root mean square over varied deliveries of our own simulation (bench_suggestions.py),
whatever of that is one-sided, and some noise of placing, included.  Both speak of few people: they are
to be doubted, and edited.
"""

from __future__ import annotations

from dataclasses import dataclass

RELEASE_AFTER_PEAK_S = 0.010
"""The ball leaves the hand this long after the hand's fastest forward motion, seen from the elbow
where that is tracked: on our figure the hand's own peak scatters twice as much (captured deliveries were
looked at for the hand's own peak alone)."""
SWING_NEAR_PEAK_S = 0.03
"""The two peaks lie no farther apart."""
LAYBACK_BEFORE_PEAK_S = 0.020
"""The shoulder is turned farthest outward this long before it; only where that turn is not seen."""
ANKLE_AT_REST_M = 0.04
"""The front foot carries once its ankle is this near to its resting place (3 to 5 cm are in use)."""
LONGEST_SLIDE_M = 0.15
"""A foot that skims the ground farther than this from where it rests has not landed yet."""
SOLE_DOWN_M = 0.01
"""A heel or a toe has touched once it is this near to the height at which it later rests."""
SOLE_FLAT_M = 0.015
"""A foot lies flat once heel and toe are both this near: a shoe's sole still gives way."""
HANDS_PART_M, U_HANDS_PART_M = 0.10, 0.03
"""The ball is out of the glove once the hands are this much farther apart than when together, give or
take what gloves and hands differ (judgement)."""

LAST_PEAK_SHARE = 0.8
"""The trunk drives the hand before the arm does: of several peaks the last that reaches this share of
the highest is the arm's."""
SLOWED_SHARE = 0.5
"""After the arm's peak the hand is seen to fall below this share of it: else more may be to come."""
THROWING_SPEED_M_S, COCKING_BEFORE_RELEASE_S = 15.0, 0.25
"""No hand is faster than this before the arm swings.  A slower peak may be that of the stride, so the
time after it, in which the swing would follow, must be seen."""
LEAST_HAND_SPEED_M_S = 6.0
"""A hand that never moves forward faster than this has not been seen to throw."""
LEAST_FOOT_SPEED_M_S = 1.0
"""An ankle that never moves faster than this has not been seen to stride."""
KNEE_DROP_M = 0.16
"""The part of the knee's course that lies this near to its highest point gives the instant."""
LEAST_KNEE_DROP_M = 0.04
"""The knee must be seen this much lower on both sides."""

ARM_HALF_WIDTH_S, LEG_HALF_WIDTH_S = 0.027, 0.039
"""Windows of the local cubic fits: down to 0.71 at the usual cut-offs of arms (20 Hz) and knees and feet
(14 Hz)."""
PEAK_HALF_WIDTH_S, PEAK_DEGREE = 0.030, 3
"""The peak of an arm's course or speed is that of one polynomial over so much to both sides."""
LONGEST_COCKING_S, LATEST_LAYBACK_S = 0.15, 0.02
"""The shoulder's farthest outward turn is looked for from so long before the hand is fastest until so
long after."""
TOGETHER_BEFORE_LIFT_S = 0.4
"""The hands are together some time from this long before leg lift on (as believable spacing goes)."""
BALL_FLIGHT_S, BALL_OUT_M = 0.08, 0.20
"""A ball within so long of the hand's peak and so far ahead of the hand is in flight."""
BALL_GRIP_M, U_BALL_GRIP_M = 0.08, 0.03
"""The middle of a held ball is so far ahead of the third knuckle at release (judgement: a finger's length
less what points down), and its u."""
WILD_M, WILD_SDS = 0.15, 6.0
"""A position so far, and so many standard deviations, from the median of itself and two neighbours on
either side belongs to something else."""
HARDEST_TURN_M_S2 = 2500.0
"""No faster does a landmark change its direction: a hand at 30 m/s around a shoulder 0.36 m away."""
REST_HALF_WIDTH_S = 0.05
"""A foot at rest is looked at for this long to both sides."""
MOST_DRIFT_M = 0.02
"""From the first to the second half of that time a foot at rest moves on by no more."""
REST_AFTER_PEAK_S = 0.10
"""It rests by this long after the hand's fastest motion; later it may be drawn along again."""
LONGEST_LANDING_S = 0.6
"""It rests within this time after its fastest motion, where the hand does not tell."""
LATEST_LANDING_S = 1.8
"""Nor later than this after leg lift (as believable spacing goes), where the stride is not seen."""

MOST_U_S = 0.05
"""What is less sure than this is no help: a person's eye is better."""


@dataclass(frozen=True)
class Spread:
    """How far a rule misses an event between people, standard uncertainty.

    Attributes
    ----------
    captured_s : float or None
        As seen with five captured deliveries.
    simulated_s : float
        Root mean square over varied deliveries of our own simulation.
    """

    captured_s: float | None
    simulated_s: float

    @property
    def u_s(self) -> float:
        """The larger of the two."""
        return max(self.captured_s or 0.0, self.simulated_s)


SPREADS: dict[str, Spread] = {
    "leg_lift": Spread(0.002, 0.004),
    "hand_break": Spread(None, 0.005),
    "foot_contact": Spread(None, 0.006),
    "foot_contact_by_ankle": Spread(0.010, 0.009),
    "foot_plant": Spread(0.010, 0.008),
    "full_layback": Spread(None, 0.009),
    "full_layback_by_forearm": Spread(None, 0.010),
    "full_layback_in_space": Spread(None, 0.004),
    "release": Spread(0.002, 0.009),
    "release_by_forearm": Spread(None, 0.006),
    "release_by_wrist": Spread(None, 0.010),
    "release_by_ball": Spread(None, 0.001),
}
"""By event, and by the way it was found where there are several."""
