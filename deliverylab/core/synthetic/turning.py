"""Turn of the pelvis or the shoulder line: published angles at events, speed peak at its time."""

from __future__ import annotations

from deliverylab.core.errors import InputValueError
from deliverylab.core.synthetic.curves import Curve


def turning_curve(
    times: dict[str, float],
    angles_deg: tuple[float, float, float, float, float],
    *,
    peak_speed_deg_s: float,
    peak_percent: float,
    set_deg: float,
    follow_deg: float,
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
    peak_speed_deg_s : float, deg/s
    peak_percent : float
        Time of the peak, percent of contact to release.
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
    lift, push = times["leg_lift"], times["push"]
    contact, layback, release = (times[k] for k in ("foot_contact", "full_layback", "release"))
    at_contact, at_layback, at_release = angles_deg[2:]
    rise = (release - contact) * peak_percent / 100.0
    fall = layback - contact - rise
    top = peak_speed_deg_s
    last_mean = (at_release - at_layback) / (release - layback)

    v_layback = 0.5 * (top + last_mean)
    at_peak = at_layback - fall * (2 * top + v_layback) / 3
    v_contact = 3 * (at_peak - at_contact) / rise - 2 * top
    if not 0.0 <= v_contact <= 0.96 * top:
        v_contact = min(max(v_contact, 0.0), 0.96 * top)
        at_peak = at_contact + rise * (2 * top + v_contact) / 3
        v_layback = 3 * (at_layback - at_peak) / fall - 2 * top
    if v_layback > top:
        raise InputValueError(
            f"a peak of {top:.0f}°/s is too slow to turn {at_layback - at_contact:.0f}° "
            f"in {1000 * (layback - contact):.0f} ms",
            where="turning of the figure",
            remedy="give a faster peak or a smaller turn",
        )
    v_release = max(2 * last_mean - v_layback, 0.2 * last_mean)
    # a knot just before contact keeps the burst of the shoulder line out of the stride
    near, gain = 0.03, v_contact / 0.12
    finish = times["finish"]
    coast = 0.45 * v_release * (finish - release)
    return Curve(
        [
            (lift - 0.95, set_deg),
            (lift - 0.70, set_deg, 0.0),
            (lift, angles_deg[0], 0.0),
            (push, angles_deg[1]),
            (
                contact - near,
                at_contact - v_contact * near + 0.5 * gain * near**2,
                v_contact - gain * near,
            ),
            (contact, at_contact, v_contact, 2 * (top - v_contact) / rise),
            (contact + rise, at_peak, top, 0.0),
            (layback, at_layback, v_layback),
            (release, at_release, v_release),
            (finish, at_release + coast),
            (release + 0.30, at_release + coast + follow_deg, 0.0),
        ]
    )
