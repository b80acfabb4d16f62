"""The density of a reading of an interval, tabulated once for each width and wear, to be moved along.

All in standard uncertainties, from the end that does not wear: an interval from 0 to `width`, worn
upwards by `decay` on average. A surface that shrinks is the mirror image. Between the places of the
table the log density is taken as straight: that is so where only wear is left, and holds elsewhere to a
factor within 1 + step^2 / 8 that is even over a bell curve and drops out when the curve is scaled to 1;
inside a wide interval to 1.5 %.
"""

from collections.abc import Sequence
from itertools import islice

import attrs
import numpy as np

from api.matching.likelihoods.density import FloatArray, log_density

REACH = 5.0
"""How far from an interval noise alone is followed, in standard uncertainties."""
WEAR_REACH = 10.0
"""How far wear is followed, in mean wear scales."""
_NOISE = np.linspace(-REACH, REACH, 41)
_INSIDE = np.linspace(0.0, 1.0, 14)[1:-1]
"""Powers of the width at which a wide interval is looked at inside: where wear sets in the density rises."""
_TAIL = np.array([0.5, 1.0]) * WEAR_REACH
MOST_KEPT = 2048
"""Curves that are kept at most, of some 1.5 kB each."""

Curve = tuple[FloatArray, FloatArray]
"""Places and the log densities there."""
_kept: dict[tuple[float, float], Curve] = {}


@attrs.frozen(kw_only=True, eq=False)
class Curves:
    """Log densities at places, laid end to end: curve n starts at `start[n]`, is followed to `reach[n]`."""

    places: FloatArray
    log_density: FloatArray
    start: FloatArray
    reach: FloatArray


def find_curves(shapes: Sequence[tuple[float, float]]) -> Curves:
    """Return the curves of those pairs of width and mean wear (0 where nothing wears).

    They depend on nothing else, so up to `MOST_KEPT` of them are kept.
    """
    found = {shape: _kept.get(shape) for shape in shapes}
    missing = [shape for shape, curve in found.items() if curve is None]
    if missing:
        tabulated = dict(zip(missing, _tabulate(*np.array(missing).T), strict=True))
        if len(_kept) + len(missing) > MOST_KEPT:
            _kept.clear()
        _kept.update(islice(tabulated.items(), MOST_KEPT))
        found |= tabulated
    curves = [curve for curve in found.values() if curve is not None]
    reach = np.array([places[-1] for places, _ in curves])
    start = np.cumsum(reach + 2.0 * REACH) - reach
    return Curves(
        places=np.concatenate([at + places for at, (places, _) in zip(start.tolist(), curves, strict=True)]),
        log_density=np.concatenate([logs for _, logs in curves]),
        start=start,
        reach=reach,
    )


def _tabulate(width: FloatArray, decay: FloatArray) -> list[Curve]:
    places = np.concatenate(
        [
            np.broadcast_to(_NOISE, (len(width), len(_NOISE))),
            width[:, None] + _NOISE,
            REACH * (np.maximum(width, REACH)[:, None] / REACH) ** _INSIDE,
            (width + REACH)[:, None] + decay[:, None] * _TAIL,
        ],
        axis=1,
    )
    places.sort(axis=1)
    logs = np.empty_like(places)
    worn, unworn = np.flatnonzero(decay > 0.0), np.flatnonzero(decay == 0.0)
    logs[worn] = log_density(places[worn], 0.0, width[worn, None], 1.0, decay[worn, None], "grows")
    logs[unworn] = log_density(places[unworn], 0.0, width[unworn, None], 1.0)
    return list(zip(places, logs, strict=True))
