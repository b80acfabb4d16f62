"""The age of a piece from how much of it is worn away."""

from api.wear_life.refusals import AgeRefused
from api.wear_life.weibull import WeibullLife


def counts_as_failed(wear_share: float) -> bool:
    """Tell whether a piece of that wear share (worn over wearable, at least 0) counts as failed: 1 or more.

    Raises `AgeRefused`. A piece worn to its limit is due even while it still works (our judgement).
    """
    if not 0.0 <= wear_share < float("inf"):
        raise AgeRefused("wear share", wear_share, "a number of at least 0", "age_out_of_range")
    return wear_share >= 1.0


def age_from_wear_share(life: WeibullLife, wear_share: float) -> float | None:
    """Return the age, in the unit of the life, of a piece of that wear share; None: it counts as failed.

    Wear is taken as even over the mean life: age = share x mean life (our judgement; to be shown as an
    assumption). Raises `AgeRefused` for a share below zero or not finite.
    """
    return None if counts_as_failed(wear_share) else wear_share * life.mean
