"""Turn of the pelvis or the shoulder line: published angles at events, speed peak at its time."""

from __future__ import annotations

from dataclasses import dataclass

from deliverylab.core.errors import InputValueError
from deliverylab.core.synthetic.curves import Curve

Angles = tuple[float, float, float, float, float]

_NEAR_S = 0.03  # a knot this long before contact keeps the burst out of the stride
_FASTEST_START = 0.96  # share of the peak that the speed at contact may have
_END_SHARE = 0.9  # of the peak, left at layback, where the peak is not given


@dataclass(frozen=True, kw_only=True)
class _Burst:
    """Speeds of the turn between contact and release, and the angle at the peak."""

    rise_s: float
    top: float
    at_peak: float
    v_contact: float
    v_layback: float
    v_release: float


def turning_curve(
    times: dict[str, float],
    angles_deg: Angles,
    *,
    peak_speed_deg_s: float | None,
    peak_percent: float,
    start_share: float = 0.5,
    set_deg: float = 0.0,
    follow_deg: float = 0.0,
) -> Curve:
    """Turn through the event angles with the speed's peak where it is wanted.

    Between contact and layback the speed rises to the peak and falls again as two parabolas; the
    free values (speed at contact, at layback, at release) are chosen so that it keeps falling.

    Parameters
    ----------
    times : dict of str to float, s
        As ``DeliverySpec.key_times`` gives them.
    angles_deg : tuple of float, deg
        At leg lift, push, foot contact, full layback, release.
    peak_speed_deg_s : float or None, deg/s
        None takes what the angles ask for.
    peak_percent : float
        Time of the peak, percent of contact to release.
    start_share : float
        Speed at contact as a share of the peak, where the peak is not given.
    set_deg, follow_deg : float, deg
        Before the wind-up, and turned on after release.

    Returns
    -------
    Curve
        Degrees over time.

    Raises
    ------
    InputValueError
        Where the peak would have to be faster to turn so far in that time.
    """
    lift, contact, release = (times[k] for k in ("leg_lift", "foot_contact", "release"))
    b = _burst(times, angles_deg, peak_speed_deg_s, peak_percent, start_share)
    gain = b.v_contact / 0.12
    before = angles_deg[2] - b.v_contact * _NEAR_S + 0.5 * gain * _NEAR_S**2
    last = angles_deg[4] + 0.45 * b.v_release * (times["finish"] - release)
    return Curve(
        [
            (lift - 0.95, set_deg),
            (lift - 0.70, set_deg, 0.0),
            (lift, angles_deg[0], 0.0),
            (times["push"], angles_deg[1]),
            (contact - _NEAR_S, before, b.v_contact - gain * _NEAR_S),
            (contact, angles_deg[2], b.v_contact, 2 * (b.top - b.v_contact) / b.rise_s),
            (contact + b.rise_s, b.at_peak, b.top, 0.0),
            (times["full_layback"], angles_deg[3], b.v_layback),
            (release, angles_deg[4], b.v_release),
            (times["finish"], last),
            (release + 0.30, last + follow_deg, 0.0),
        ]
    )


def _burst(
    times: dict[str, float],
    angles_deg: Angles,
    peak_speed_deg_s: float | None,
    peak_percent: float,
    start_share: float,
) -> _Burst:
    contact, layback, release = (times[k] for k in ("foot_contact", "full_layback", "release"))
    at_contact, at_layback, at_release = angles_deg[2:]
    rise = (release - contact) * peak_percent / 100.0
    fall = layback - contact - rise
    turn = at_layback - at_contact
    top = peak_speed_deg_s or 3 * turn / ((2 + _END_SHARE) * fall + (2 + start_share) * rise)
    last_mean = (at_release - at_layback) / (release - layback)

    v_layback = 0.5 * (top + last_mean)
    at_peak = at_layback - fall * (2 * top + v_layback) / 3
    v_contact = 3 * (at_peak - at_contact) / rise - 2 * top
    if not 0.0 <= v_contact <= _FASTEST_START * top or v_layback > top:
        v_contact = min(max(v_contact, 0.0), _FASTEST_START * top)
        if peak_speed_deg_s is None:
            v_contact = start_share * top
        at_peak = at_contact + rise * (2 * top + v_contact) / 3
        v_layback = 3 * (at_layback - at_peak) / fall - 2 * top
    if v_layback > top:
        raise InputValueError(
            f"a peak of {top:.0f}°/s is too slow to turn {turn:.0f}° "
            f"in {1000 * (layback - contact):.0f} ms",
            where="turning of the figure",
            remedy="give a faster peak or a smaller turn",
        )
    return _Burst(
        rise_s=rise,
        top=top,
        at_peak=at_peak,
        v_contact=v_contact,
        v_layback=v_layback,
        v_release=max(2 * last_mean - v_layback, 0.2 * last_mean),
    )
