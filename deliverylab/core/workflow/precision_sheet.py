"""A report of placing again as sheets to be drawn and as rows to be handed over."""

from __future__ import annotations

import math
from typing import Any

from deliverylab.core.numerics.agreement import Agreement, detectable_change
from deliverylab.core.report.agreement_plot import AgreementPanel, AgreementSheet
from deliverylab.core.units import format_number
from deliverylab.core.vocabulary.landmarks import LANDMARKS
from deliverylab.core.workflow.precision import (
    ALL_PARTS,
    PART_OF,
    AgreementPoint,
    PairReport,
    PairRow,
    PartRow,
    PersonReport,
    PrecisionReport,
)

_NAMES = {PART_OF[entry.key]: entry.name for entry in LANDMARKS} | {ALL_PARTS: "all together"}
_MM = 1000.0


def part_name(part: str) -> str:
    """Return a part of the body as a person calls it; ``all together`` for the overall row."""
    return _NAMES[part]


def person_sheet(person: PersonReport) -> AgreementSheet:
    """Return one person's second placings against the first, a panel a part."""
    return AgreementSheet(
        title=f"{person.placer}: placed again minus placed first",
        words="Each point is one coordinate of one landmark in one frame. The u of a single "
        "placing is the scatter of these differences divided by √2.",
        panels=tuple(
            _panel(
                row.part,
                f"u of one placing {_MM * row.technical_error.sd:.1f} mm "
                f"({_MM * row.interval.low:.1f} to {_MM * row.interval.high:.1f}), "
                f"{row.technical_error.n_degrees_of_freedom} degrees of freedom",
                row.points,
                row.agreement,
            )
            for row in person.rows
        ),
    )


def pair_sheet(pair: PairReport) -> AgreementSheet:
    """Return one person's placings against another's, a panel a part and coordinate."""
    return AgreementSheet(
        title=f"{pair.b} minus {pair.a}",
        words="Each point is one landmark in one frame, as both placed it. The line in the middle "
        "is the shift between the two: neither sees it in repeats of one's own.",
        panels=tuple(panel for row in pair.rows for panel in _pair_panels(row)),
        n_columns=4,
    )


def _pair_panels(row: PairRow) -> tuple[AgreementPanel, ...]:
    return tuple(
        _panel(
            row.part,
            f"{words}: shift {format_number(_MM * agreement.bias, 1)} mm, 95 % within "
            f"{format_number(_MM * agreement.limits.low, 0)} to "
            f"{format_number(_MM * agreement.limits.high, 0)}",
            tuple(point for point in row.points if point.axis == axis),
            agreement,
        )
        for axis, words, agreement in (
            ("forward", "toward the plate", row.forward),
            ("up", "up", row.up),
        )
    )


def _panel(
    part: str, remark: str, points: tuple[AgreementPoint, ...], agreement: Agreement
) -> AgreementPanel:
    by_axis = {
        axis: tuple(
            (abs(point.place_m), _MM * point.difference_m) for point in points if point.axis == axis
        )
        for axis in ("forward", "up")
    }
    intervals = (
        agreement.bias_interval,
        agreement.lower_interval,
        agreement.upper_interval,
    )
    return AgreementPanel(
        title=part_name(part),
        remark=remark,
        along=by_axis["forward"],
        up=by_axis["up"],
        bias=_MM * agreement.bias,
        limits=(_MM * agreement.limits.low, _MM * agreement.limits.high),
        bands=tuple((_MM * low, _MM * high) for low, high in intervals),
    )


def report_rows(report: PrecisionReport) -> list[dict[str, Any]]:
    """Return all rows of a report as plain values: metres, pixels, null where there is nothing."""
    rows = [
        _part_values(person, row)
        for person in report.people
        for row in (*person.rows, *((person.overall,) if person.overall else ()))
    ]
    rows += [
        values
        for pair in report.pairs
        for row in (*pair.rows, pair.overall)
        for values in _pair_values(pair, row)
    ]
    return [{key: _plain(value) for key, value in row.items()} for row in rows]


def _part_values(person: PersonReport, row: PartRow) -> dict[str, Any]:
    return {
        "kind": "repeats",
        "placer": person.placer,
        "part": row.part,
        "n": row.n_spots,
        "technical_error_m": row.technical_error.sd,
        "technical_error_px": row.technical_error_px,
        "low_m": row.interval.low,
        "high_m": row.interval.high,
        "degrees_of_freedom": row.technical_error.n_degrees_of_freedom,
        "error_of_measurement_m": row.error_of_measurement,
        "detectable_change_m": detectable_change(row.error_of_measurement),
        "repeatability_m": detectable_change(row.technical_error.sd),
        "shift_forward_m": row.shift_forward,
        "shift_up_m": row.shift_up,
        "icc_2_1": row.icc_2_1,
        "icc_3_1": row.icc_3_1,
        "limit_low_m": row.agreement.limits.low,
        "limit_high_m": row.agreement.limits.high,
        "between_people_m": row.between,
        "u_m": row.u,
        "u_degrees_of_freedom": row.n_degrees_of_freedom,
        "is_usable": row.is_usable,
    }


def _pair_values(pair: PairReport, row: PairRow) -> list[dict[str, Any]]:
    return [
        {
            "kind": "two people",
            "a": pair.a,
            "b": pair.b,
            "part": row.part,
            "axis": axis,
            "n": row.n_spots,
            "bias_m": agreement.bias,
            "bias_low_m": agreement.bias_interval.low,
            "bias_high_m": agreement.bias_interval.high,
            "sd_m": agreement.sd,
            "degrees_of_freedom": agreement.n - 1,
            "limit_low_m": agreement.limits.low,
            "limit_high_m": agreement.limits.high,
            "icc_2_1": row.icc_2_1,
            "icc_3_1": row.icc_3_1,
        }
        for axis, agreement in (("forward", row.forward), ("up", row.up))
    ]


def _plain(value: Any) -> Any:
    # NaN is no JSON
    return None if isinstance(value, float) and not math.isfinite(value) else value
