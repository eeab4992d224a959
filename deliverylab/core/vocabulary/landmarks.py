"""Table of body landmarks, and the roles that handedness gives them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from deliverylab.core.errors import NotFoundError
from deliverylab.core.vocabulary.lookup import entry_of

Hand = Literal["left", "right"]


@dataclass(frozen=True, kw_only=True)
class Landmark:
    """One named point of the body (or the ball).

    Attributes
    ----------
    key : str
        Stable key, ``left_shoulder``; anatomical left and right.
    name : str
        What a person calls it, without the side.
    side : str
        ``"left"``, ``"right"`` or ``""``.
    hint : str
        Where to place it, in one clause.
    u_m : float
        Default standard uncertainty of a placed point, metres (k = 1): how far repeated placing
        by eye scatters.  Judgement, not literature, until the user's own repeat check exists.
    depth_u_m : float
        Standard uncertainty of its distance from the plane of motion as seen from the side,
        metres: half of a typical breadth or reach.  Judgement from body proportions; taken at
        instants for which `core.metrics.depths` holds no table.
    """

    key: str
    name: str
    side: Literal["left", "right", ""]
    hint: str
    u_m: float
    depth_u_m: float


def _pair(
    part: str, name: str, hint: str, u_m: float, depth_u_m: float
) -> tuple[Landmark, Landmark]:
    return (
        Landmark(
            key=f"left_{part}", name=name, side="left", hint=hint, u_m=u_m, depth_u_m=depth_u_m
        ),
        Landmark(
            key=f"right_{part}", name=name, side="right", hint=hint, u_m=u_m, depth_u_m=depth_u_m
        ),
    )


LANDMARKS: tuple[Landmark, ...] = (
    Landmark(
        key="head_top",
        name="top of head",
        side="",
        hint="highest point of the skull, not of the cap's button",
        u_m=0.010,
        depth_u_m=0.08,
    ),
    Landmark(
        key="neck",
        name="neck",
        side="",
        hint="base of the neck at the back (C7)",
        u_m=0.015,
        depth_u_m=0.06,
    ),
    *_pair("shoulder", "shoulder", "centre of the joint, under the bony tip", 0.020, 0.15),
    *_pair("elbow", "elbow", "centre of the joint", 0.010, 0.20),
    *_pair("wrist", "wrist", "centre of the joint", 0.010, 0.26),
    *_pair("hand", "hand", "third knuckle", 0.010, 0.30),
    *_pair("hip", "hip", "centre of the joint: front crease, a hand below the belt", 0.020, 0.09),
    *_pair("knee", "knee", "centre of the joint", 0.010, 0.10),
    *_pair("ankle", "ankle", "outer or inner ankle bone", 0.010, 0.09),
    *_pair("heel", "heel", "back of the shoe's heel", 0.010, 0.09),
    *_pair("toe", "toe", "tip of the shoe", 0.010, 0.15),
    Landmark(
        key="ball", name="ball", side="", hint="centre of the ball", u_m=0.010, depth_u_m=0.25
    ),
)

BY_KEY: dict[str, Landmark] = {landmark.key: landmark for landmark in LANDMARKS}
LANDMARK_KEYS: tuple[str, ...] = tuple(BY_KEY)

ARM_PARTS = ("shoulder", "elbow", "wrist", "hand")
LEG_PARTS = ("hip", "knee", "ankle", "heel", "toe")

ROLE_KEYS: tuple[str, ...] = (
    "head_top",
    "neck",
    *(f"throwing_{part}" for part in ARM_PARTS),
    *(f"glove_{part}" for part in ARM_PARTS),
    *(f"drive_{part}" for part in LEG_PARTS),
    *(f"lead_{part}" for part in LEG_PARTS),
    "ball",
)

PLACING_ORDER: tuple[str, ...] = (
    "head_top",
    "neck",
    *(f"{side}_{part}" for part in ARM_PARTS for side in ("throwing", "glove")),
    *(f"{side}_{part}" for part in LEG_PARTS for side in ("drive", "lead")),
)
"""The order in which the window asks for points: from the head down, the two of a pair together."""


def landmark(key: str) -> Landmark:
    """Return the landmark of this key.

    Raises
    ------
    NotFoundError
        No such key; the message lists the keys.
    """
    return entry_of(BY_KEY, key, "landmark")


@lru_cache(maxsize=256)
def key_for_role(role: str, hand: Hand) -> str:
    """Return the anatomical key of a role for this throwing hand.

    Parameters
    ----------
    role : str
        ``throwing_elbow``, ``lead_knee``, ``head_top`` …; an anatomical key passes through.
    hand : {"left", "right"}
        The throwing hand.

    Raises
    ------
    NotFoundError
        Neither a role nor a key.
    """
    group, _, part = role.partition("_")
    throwing = hand
    glove = "left" if hand == "right" else "right"
    side = {"throwing": throwing, "drive": throwing, "glove": glove, "lead": glove}.get(group)
    key = f"{side}_{part}" if side else role
    if key not in BY_KEY:
        raise NotFoundError(
            "unknown landmark or role", where=role, remedy=f"use one of {', '.join(ROLE_KEYS)}"
        )
    return key


def role_for_key(key: str, hand: Hand) -> str:
    """Return the role of an anatomical key for this throwing hand; sideless keys pass through."""
    entry = landmark(key)
    if not entry.side:
        return key
    part = key.partition("_")[2]
    is_throwing_side = entry.side == hand
    if part in ARM_PARTS:
        return f"{'throwing' if is_throwing_side else 'glove'}_{part}"
    return f"{'drive' if is_throwing_side else 'lead'}_{part}"


def role_name(role: str) -> str:
    """Return a role or key as words: ``throwing elbow``, ``lead knee``, ``top of head``."""
    if role in BY_KEY and not BY_KEY[role].side:
        return BY_KEY[role].name
    return role.replace("_", " ")
