"""Who threw, with the facts as they were that day."""

from __future__ import annotations

import msgspec

from deliverylab.core.errors import InputValueError
from deliverylab.core.vocabulary.landmarks import Hand
from deliverylab.core.vocabulary.mass_tables import MassTableKey
from deliverylab.core.vocabulary.segments import Sex

HEIGHT_RANGE_M = (0.9, 2.4)
MASS_RANGE_KG = (15.0, 200.0)
ADULT_AGE = 18


class Athlete(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The person in the clip.

    Attributes
    ----------
    name : str
        As it shall stand on the page.
    hand : {"left", "right"}
        Throwing hand.
    height_m, mass_kg : float or None
        Standing height in shoes, and mass.
    u_height_m : float
        Standard uncertainty of the height, metres.
    sex : {"female", "male"} or None
        Chooses the table of segment masses; None takes the mean of both.
    mass_table : {"de_leva", "dempster"}
        Whose segment masses make the centre of mass.
    birth_year : int or None
        For wording and cautions on the page only.
    """

    name: str
    hand: Hand = "right"
    height_m: float | None = None
    u_height_m: float = 0.01
    mass_kg: float | None = None
    sex: Sex | None = None
    mass_table: MassTableKey = "de_leva"
    birth_year: int | None = None

    def __post_init__(self) -> None:
        """Refuse heights and masses nobody has.

        Raises
        ------
        InputValueError
            Out of range, with the unit that was probably meant.
        """
        if not self.name.strip():
            raise InputValueError("an athlete needs a name", remedy="type one, an alias will do")
        for value, (low, high), what, unit in (
            (self.height_m, HEIGHT_RANGE_M, "height", "metres"),
            (self.mass_kg, MASS_RANGE_KG, "mass", "kilograms"),
        ):
            if value is not None and not low <= value <= high:
                raise InputValueError(
                    f"{what} cannot be {value:g}",
                    where=self.name,
                    remedy=f"give it in {unit}, between {low:g} and {high:g}",
                )

    def is_minor_in(self, year: int) -> bool | None:
        """Return whether the athlete is under age in a year; None where the birth is not known.

        The birthday is not known either: who comes of age in this year counts as a minor.
        """
        return None if self.birth_year is None else year - self.birth_year <= ADULT_AGE

    @property
    def female_share(self) -> float:
        """1 for a woman, 0 for a man, 0.5 where it is not known: mixes the tables of both."""
        return {"female": 1.0, "male": 0.0}.get(self.sex or "", 0.5)
