"""What was observed, as checked values: a choice, or a number with its uncertainty and bounds. Pure."""

import attrs

from api.diagnosis.knowledge import AnswerKnown, ObservationKnown
from api.diagnosis.scales import Held


@attrs.frozen(kw_only=True)
class Chosen:
    """One answer of a choice."""

    known: ObservationKnown
    answer: str

    @property
    def meant(self) -> AnswerKnown:
        """What the tables know of the answer."""
        return next(one for one in self.known.answers if one.code == self.answer)


@attrs.frozen(kw_only=True)
class Measured:
    """A number with its standard uncertainty; `edges` bound its bands, `held` is what they come from."""

    known: ObservationKnown
    value: float
    uncertainty: float
    uncertainty_stated: bool
    edges: tuple[float, ...]
    held: Held | None
    celsius: float | None = None


Stated = Chosen | Measured
