"""How the stock is held."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, ValidationInfo, field_validator

from polypocket.model.base import Table
from polypocket.model.settings import SwivelSettings
from polypocket.model.values import LengthNotNegative

__all__ = ["Clamping", "WrittenClamping"]

Grip = Literal["vise", "plate"]
Along = Literal["x", "y"]

_VISE_ONLY = 'required where grip is "vise"; '


class Clamping(Table):
    """How the stock is held; lengths mm.

    ``swivel_settings`` are those of the vise's swivel base that may be used, radians anticlockwise seen from above.
    A setting turns vise, jaws and stock about the upright axis through the block's centre, where the work zero is,
    so that only directions change; the zero is picked up after turning.
    ``held`` is how much of the thickness is in the jaws, 0 on a plate; ``jaws_along`` means nothing there.
    ``clamp_height`` is how far the clamps on a plate stand above the stock's top, 0 in a vise.
    """

    grip: Grip
    jaws_along: Along = "x"
    held: LengthNotNegative = 0.0
    swivel_settings: SwivelSettings = (0.0,)
    clamp_height: LengthNotNegative = 0.0


class WrittenClamping(Table):
    """The clamping as it stands in a file: what belongs to a vise is left out on a plate."""

    grip: Grip = Field(description='"vise", or "plate": clamped down from above or below, no jaws')
    jaws_along: Along | None = Field(
        None, description='the direction in which the jaws run, "x" or "y"', validate_default=True
    )
    held: LengthNotNegative | None = Field(
        None, description="how much of the stock's thickness is inside the jaws", validate_default=True
    )
    swivel_settings: SwivelSettings = Field(
        (0.0,),
        description="settings of the swivel base that may be used, degrees anticlockwise seen from above: a list, "
        "or { from, to, graduation }",
        validate_default=False,
    )
    clamp_height: LengthNotNegative = Field(
        0.0, description="how far clamps on a plate stand above the stock's top"
    )

    @field_validator("jaws_along", "held")
    @classmethod
    def _of_a_vise(cls, value: object, info: ValidationInfo) -> object:
        """Refuse a vise without them, and jaws on a plate."""
        grip = info.data.get("grip")
        if grip == "vise" and value is None and info.field_name:
            raise ValueError(_VISE_ONLY + str(cls.model_fields[info.field_name].description))
        if grip == "vise" and value == 0.0:
            raise ValueError("must be more than 0; a vise must hold some of the stock")
        if grip == "plate" and value is not None:
            raise ValueError('a plate has no jaws; leave it out, or set grip = "vise"')
        return value

    @field_validator("swivel_settings")
    @classmethod
    def _of_a_swivel_base(cls, value: tuple[float, ...], info: ValidationInfo) -> tuple[float, ...]:
        """Refuse settings on a plate, which does not turn."""
        if value != (0.0,) and info.data.get("grip") == "plate":
            raise ValueError('a plate has no swivel base; leave it out, or set grip = "vise"')
        return value

    @field_validator("clamp_height")
    @classmethod
    def _of_a_plate(cls, value: float, info: ValidationInfo) -> float:
        """Refuse clamps in a vise, since nothing would look at them."""
        if value and info.data.get("grip") == "vise":
            raise ValueError('a vise has no clamps above the stock; leave it out, or set grip = "plate"')
        return value

    def resolved(self) -> Clamping:
        """Return what the table means."""
        return Clamping(
            grip=self.grip,
            jaws_along=self.jaws_along or "x",
            held=self.held or 0.0,
            swivel_settings=self.swivel_settings,
            clamp_height=self.clamp_height,
        )
