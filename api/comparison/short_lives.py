"""Whether lives are too short against the months for their failures to be drawn one by one. Pure."""

from collections.abc import Iterator, Mapping

import attrs

from api.comparison.histories.simulation import (
    EVERYTHING,
    MOST_MEAN_LIVES,
    MOST_MEAN_LIVES_TOGETHER,
    TooManyFailures,
)
from api.comparison.months.over_months import REMAINDER, LifeInStarts, OverMonths
from api.comparison.requests.stated import StatedFigures
from api.comparison.requests.stated_months import StatedMonths
from api.errors import FieldFault, InvalidInput
from api.wear_life.weibull import WeibullLife

Path = tuple[str | int, ...]
Piece = tuple[str, str]
"""What wears: `position`, `replacement` or `remainder`, and its name."""

ELSEWHERE: Path = ("starts_per_month",)
"""Where a life is at fault that the request does not state."""


@attrs.frozen
class StatedLives:
    """Where in a request each life is stated."""

    paths: Mapping[Piece, Path]

    @classmethod
    def of(cls, stated: StatedFigures, months: StatedMonths) -> "StatedLives":
        """Return the places of the lives that a caller states, nothing filled yet."""
        paths: dict[Piece, Path] = {}
        for place, position in enumerate(stated.positions):
            if months.of_position(position.position).life is not None:
                paths["position", position.position] = ("positions", place, "life", "scale_starts")
        for place, replacement in enumerate(stated.replacements or ()):
            if months.of_replacement(replacement.id).life is not None:
                paths["replacement", replacement.id] = ("replacements", place, "life", "scale_starts")
        if months.remainder is not None and months.remainder.life is not None:
            paths["remainder", REMAINDER] = (REMAINDER, "life", "scale_starts")
        return cls(paths)


def refuse_short_lives(months: OverMonths, lives: StatedLives) -> None:
    """Raise `InvalidInput` naming every life of which the months hold too many, or the months for them all.

    Told before anything is computed: the work grows with the failures.
    """
    faults: dict[Path, FieldFault] = {}
    together = 0.0
    for piece, life in _lives(months):
        mean_months = WeibullLife(life.shape, life.scale_starts / months.starts_per_month).mean
        mean_lives = months.keep_months / mean_months
        together += mean_lives
        if mean_lives > MOST_MEAN_LIVES:
            path = lives.paths.get(piece, ELSEWHERE)
            refused = TooManyFailures(piece[1], mean_lives, months.keep_months, MOST_MEAN_LIVES)
            faults[path] = refused.as_fault(*path)
    if not faults and together > MOST_MEAN_LIVES_TOGETHER:
        all_of_them = TooManyFailures(EVERYTHING, together, months.keep_months, MOST_MEAN_LIVES_TOGETHER)
        faults["keep_months",] = all_of_them.as_fault("keep_months")
    if faults:
        raise InvalidInput.of(faults.values())


def _lives(months: OverMonths) -> Iterator[tuple[Piece, LifeInStarts]]:
    for name, position in months.positions.items():
        yield ("position", name), position.life
    for name, replacement in months.replacements.items():
        yield ("replacement", name), replacement.life
    if months.remainder is not None:
        yield ("remainder", REMAINDER), months.remainder.life
