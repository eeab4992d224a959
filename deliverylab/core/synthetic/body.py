"""Clothe a set of landmarks: the solid parts of a thrower in a plain uniform of two tones."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.synthetic.kinematics import unit
from deliverylab.core.synthetic.proportions import BALL_RADIUS_M
from deliverylab.core.synthetic.raster import Ellipsoid, Limb
from deliverylab.core.vocabulary.landmarks import Hand

Array = NDArray[np.float64]

JERSEY, TROUSERS, SKIN, CAP, SHOE, LEATHER, BALL, SOCK, BELT, TRIM = range(10)
_IN_GLOVE_M = 0.13  # nearer to the glove hand the ball is out of sight


@dataclass(frozen=True, kw_only=True)
class Uniform:
    """Hold the colours, RGB 0 to 255, in the order of the paints."""

    jersey: tuple[int, int, int] = (168, 58, 50)
    trousers: tuple[int, int, int] = (222, 219, 208)
    skin: tuple[int, int, int] = (196, 148, 116)
    cap: tuple[int, int, int] = (122, 40, 38)
    shoe: tuple[int, int, int] = (48, 48, 52)
    leather: tuple[int, int, int] = (128, 82, 46)

    def colours(self) -> Array:
        """Give the colours of all paints, shape (paints, 3)."""
        ball, belt = (246, 244, 238), (40, 40, 44)
        rows = [self.jersey, self.trousers, self.skin, self.cap, self.shoe, self.leather]
        rows += [ball, self.jersey, belt, self.trousers]
        return np.array(rows, dtype=float)


def clothe(
    points_m: dict[str, Array], gaze: Array, *, hand: Hand, height_m: float
) -> list[Limb | Ellipsoid]:
    """Build the solids of one instant.

    Parameters
    ----------
    points_m : dict of str to Array, each shape (3,), m
        Landmarks by anatomical key.
    gaze : Array, shape (3,)
        Unit vector in which the face looks.
    hand : {"left", "right"}
    height_m : float, m

    Returns
    -------
    list of Limb or Ellipsoid
    """
    p, s = points_m, height_m / 1.78
    glove = "left" if hand == "right" else "right"
    parts: list[Limb | Ellipsoid] = []
    parts += _trunk(p, s)
    parts += _head(p, gaze, s)
    for side in ("left", "right"):
        parts += _leg(p, side, s)
        parts += _arm(p, side, s, is_gloved=side == glove)
    hidden = np.linalg.norm(p["ball"] - p[f"{glove}_hand"]) < _IN_GLOVE_M
    if not (hidden or np.any(np.isnan(p["ball"]))):
        parts.append(Limb(p["ball"], p["ball"], BALL_RADIUS_M, BALL_RADIUS_M, BALL))
    return parts


def _trunk(p: dict[str, Array], s: float) -> list[Limb | Ellipsoid]:
    hips, shoulders = (0.5 * (p[f"left_{k}"] + p[f"right_{k}"]) for k in ("hip", "shoulder"))
    up = unit(shoulders - hips)
    hip_line, shoulder_line = (p[f"left_{k}"] - p[f"right_{k}"] for k in ("hip", "shoulder"))
    length = float(np.linalg.norm(shoulders - hips))

    def block(share: float, turn: float, size: tuple[float, float, float], paint: int) -> Ellipsoid:
        line = (1 - turn) * unit(hip_line) + turn * unit(shoulder_line)
        across = unit(line - (line @ up) * up)
        axes = np.stack([across, np.cross(up, across), up]) * (s * np.array(size))[:, None]
        return Ellipsoid(hips + share * length * up, axes, paint)

    parts: list[Limb | Ellipsoid] = [
        block(0.70, 0.95, (0.178, 0.122, 0.215), JERSEY),
        block(0.43, 0.45, (0.161, 0.119, 0.27), JERSEY),
        block(0.06, 0.0, (0.164, 0.127, 0.150), TROUSERS),
        block(0.235, 0.15, (0.154, 0.120, 0.034), BELT),
    ]
    for side in ("left", "right"):
        inner = shoulders + 0.30 * (p[f"{side}_shoulder"] - shoulders) + 0.035 * s * up
        parts.append(Limb(inner, p[f"{side}_shoulder"], 0.062 * s, 0.064 * s, JERSEY))
        buttock = p[f"{side}_hip"] + 0.02 * s * up
        parts.append(Limb(buttock, hips + 0.03 * s * up, 0.098 * s, 0.10 * s, TROUSERS))
    return parts


def _head(p: dict[str, Array], gaze: Array, s: float) -> list[Limb | Ellipsoid]:
    up = unit(p["head_top"] - p["neck"])
    face = unit(gaze - (gaze @ up) * up)
    side = np.cross(up, face)
    centre = p["head_top"] - 0.112 * s * up + 0.018 * s * face
    sizes = s * np.array([[0.074], [0.093], [0.116]])
    brow = centre + 0.040 * s * up
    dome = np.stack([side, face, up]) * (s * np.array([[0.079], [0.097], [0.080]]))
    nose = centre + 0.088 * s * face
    parts: list[Limb | Ellipsoid] = [
        Ellipsoid(centre, np.stack([side, face, up]) * sizes, SKIN, CAP, 0.24),
        Ellipsoid(centre + 0.046 * s * up, dome, CAP),
        Limb(p["neck"] - 0.04 * s * up, centre - 0.03 * s * up, 0.056 * s, 0.052 * s, SKIN),
        Limb(nose + 0.016 * s * up, nose - 0.016 * s * up + 0.008 * s * face, 0.008, 0.011, SKIN),
    ]
    for turn in (-0.5, -0.25, 0.0, 0.25, 0.5):
        ahead = np.cos(turn) * face + np.sin(turn) * side
        start = brow + 0.07 * s * ahead
        parts.append(
            Limb(start, start + (0.088 * s) * ahead - 0.018 * s * up, 0.013 * s, 0.008 * s, CAP)
        )
    return parts


def _leg(p: dict[str, Array], side: str, s: float) -> list[Limb | Ellipsoid]:
    hip, knee, ankle, heel, toe = (
        p[f"{side}_{k}"] for k in ("hip", "knee", "ankle", "heel", "toe")
    )
    forward = unit(toe - heel)
    bend = 0.5 * (hip + ankle) - knee
    calf = knee + 0.34 * (ankle - knee) + 0.014 * s * bend / max(float(np.linalg.norm(bend)), 0.08)
    rear, front = heel + 0.036 * s * forward, toe - 0.032 * s * forward
    return [
        Limb(hip, knee, 0.096 * s, 0.064 * s, TROUSERS),
        Limb(knee, calf, 0.064 * s, 0.067 * s, TROUSERS),
        Limb(calf, ankle, 0.067 * s, 0.042 * s, TROUSERS, SOCK, 0.52),
        Limb(rear + np.array([0, 0, 0.014]) * s, front, 0.037 * s, 0.031 * s, SHOE),
        Limb(
            ankle,
            rear + (0.075 * forward + np.array([0, 0, 0.020])) * s,
            0.045 * s,
            0.037 * s,
            SHOE,
        ),
    ]


def _arm(p: dict[str, Array], side: str, s: float, *, is_gloved: bool) -> list[Limb | Ellipsoid]:
    shoulder, elbow, wrist, hand = (
        p[f"{side}_{k}"] for k in ("shoulder", "elbow", "wrist", "hand")
    )
    along = unit(hand - wrist)
    sleeve = shoulder + 0.60 * (elbow - shoulder)
    parts: list[Limb | Ellipsoid] = [
        Limb(shoulder, elbow, 0.050 * s, 0.041 * s, SKIN),
        Limb(shoulder, sleeve, 0.064 * s, 0.058 * s, JERSEY, TRIM, 0.93),
        Limb(elbow, elbow + 0.30 * (wrist - elbow), 0.041 * s, 0.044 * s, SKIN),
        Limb(elbow + 0.30 * (wrist - elbow), wrist, 0.044 * s, 0.028 * s, SKIN),
    ]
    if not is_gloved:
        tip = hand + 0.075 * s * along
        if not np.any(np.isnan(p["ball"])) and np.linalg.norm(p["ball"] - hand) < 0.12:
            tip = hand + 0.9 * (p["ball"] - hand)
        parts += [
            Limb(wrist, hand, 0.028 * s, 0.033 * s, SKIN),
            Limb(hand, tip, 0.033 * s, 0.022 * s, SKIN),
        ]
        return parts
    fore = unit(wrist - elbow)
    thick = np.cross(along, unit(elbow - shoulder))
    if np.linalg.norm(thick) < 0.2:
        thick = np.cross(along, np.array([0.0, 0.0, 1.0]))
    thick = unit(thick)
    wide = np.cross(thick, along)
    middle = hand + 0.045 * s * along
    parts += [
        Ellipsoid(middle, np.stack([wide * 0.098, thick * 0.056, along * 0.13]) * s, LEATHER),
        Limb(wrist + 0.01 * fore, middle, 0.040 * s, 0.055 * s, LEATHER),
        Limb(
            hand - 0.02 * along + 0.06 * s * wide,
            middle + 0.105 * s * wide + 0.075 * s * along,
            0.034 * s,
            0.026 * s,
            LEATHER,
        ),
    ]
    return parts
