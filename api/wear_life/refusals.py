"""What the wear-life rules refuse."""

import attrs

from api.errors import DomainError, FieldFault


@attrs.frozen
class WearLifeRefused(DomainError):
    """A figure of a wear life that cannot be taken.

    `quantity` names it, `value` is what was given, `expected` reads on from "expected", `code` is a
    stable lower-case word for programs.
    """

    quantity: str
    value: float
    expected: str
    code: str

    def explain(self) -> str:
        """Return what was given and what was expected."""
        return f"{self.quantity} {self.value:g} cannot be taken; expected {self.expected}."

    def as_fault(self, *path: str | int) -> FieldFault:
        """Return the refusal as a fault of the value that stood at `path`."""
        return FieldFault(path, f"{self.value:g}", self.expected, self.code)


@attrs.frozen
class ShapeRefused(WearLifeRefused):
    """A Weibull shape that is outside its bounds or no number. Code: `shape_out_of_range`."""


@attrs.frozen
class ScaleRefused(WearLifeRefused):
    """A Weibull scale that is not above zero and finite. Code: `scale_out_of_range`."""


@attrs.frozen
class AgeRefused(WearLifeRefused):
    """An age or a wear share that is below zero or not finite. Code: `age_out_of_range`."""


@attrs.frozen
class HorizonRefused(WearLifeRefused):
    """A horizon, or a discount rate, that is below zero or not finite.

    Codes: `horizon_out_of_range`, `rate_out_of_range`.
    """
