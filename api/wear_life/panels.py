"""Functions of time on panels: on each, the polynomial through its values at 16 Chebyshev nodes.

A function is an array of values, one row per panel, one column per node, with the edges of the panels
(one more than panels, rising).
"""

from functools import cache

import numpy as np
from numpy.polynomial import chebyshev
from numpy.typing import NDArray

from api.wear_life.weibull import FloatArray

IntArray = NDArray[np.int64]

NODES = 16
"""Nodes of a panel."""


def chebyshev_places(count: int) -> FloatArray:
    """Return that many Chebyshev nodes of the first kind on (0, 1), rising."""
    places: FloatArray = 0.5 - 0.5 * np.cos(np.pi * (np.arange(count) + 0.5) / count)
    return places


def interpolation_matrix(count: int, places: FloatArray) -> FloatArray:
    """Return the weights (len(places) x count) that take values at the nodes to values at `places` in [0, 1].

    The polynomial is summed in Chebyshev polynomials, whose sums over the nodes are orthogonal.
    """
    weights: FloatArray = chebyshev.chebvander(2.0 * places - 1.0, count - 1) @ _to_polynomials(count)
    return weights


def interpolate(values: FloatArray, places: FloatArray) -> FloatArray:
    """Return the function at `places` in [0, 1], from its values at the Chebyshev nodes."""
    angles = np.arccos(np.clip(2.0 * places - 1.0, -1.0, 1.0))
    polynomials = np.cos(angles[:, None] * np.arange(len(values)))
    return np.asarray(np.einsum("tn,n->t", polynomials, _to_polynomials(len(values)) @ values))


@cache
def _to_polynomials(count: int) -> FloatArray:
    """Return the matrix from values at the nodes to coefficients of Chebyshev polynomials."""
    nodes = chebyshev.chebvander(2.0 * chebyshev_places(count) - 1.0, count - 1)
    nodes[:, 1:] *= 2.0
    to_polynomials: FloatArray = nodes.T / count
    to_polynomials.flags.writeable = False
    return to_polynomials


def integration_matrix(count: int, ends: FloatArray) -> FloatArray:
    """Return the weights (len(ends) x count) of the integral from 0 to each of `ends` in [0, 1]."""
    nodes, weights = np.polynomial.legendre.leggauss(count)
    inner = ends[:, None] * 0.5 * (1.0 + nodes)
    at_inner = interpolation_matrix(count, inner.ravel()).reshape(*inner.shape, count)
    integrals: FloatArray = np.einsum("eq,eqn->en", ends[:, None] * 0.5 * weights, at_inner)
    return integrals


PLACES = chebyshev_places(NODES)
_FROM_LEFT = integration_matrix(NODES, np.append(PLACES, 1.0))


def node_times(edges: FloatArray) -> FloatArray:
    """Return the times of all nodes, a row per panel."""
    times: FloatArray = edges[:-1, None] + np.diff(edges)[:, None] * PLACES
    return times


def locate(edges: FloatArray, times: FloatArray) -> tuple[IntArray, FloatArray]:
    """Return the panel of each time (of n) and its interpolation weights (n x 16)."""
    panel, places = _places_in(edges, times)
    return panel, interpolation_matrix(NODES, places)


def values_at(edges: FloatArray, values: FloatArray, times: FloatArray) -> FloatArray:
    """Return the function at times (of n) within the panels."""
    panel, places = _places_in(edges, times)
    # Coefficients first: panels are fewer than times, and so small a product stays in one thread.
    coefficients = values @ _to_polynomials(NODES).T
    polynomials = chebyshev.chebvander(2.0 * places - 1.0, NODES - 1)
    found: FloatArray = np.einsum("tn,tn->t", polynomials, coefficients[panel])
    return found


def _places_in(edges: FloatArray, times: FloatArray) -> tuple[IntArray, FloatArray]:
    panel = np.clip(np.searchsorted(edges, times, side="right") - 1, 0, len(edges) - 2)
    return panel, (times - edges[panel]) / np.diff(edges)[panel]


def running_integral(edges: FloatArray, values: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the integral from the first edge to every node (a row per panel), and to every edge."""
    within = np.diff(edges)[:, None] * (values @ _FROM_LEFT.T)
    at_edges = np.concatenate([[0.0], np.cumsum(within[:, -1])])
    return at_edges[:-1, None] + within[:, :-1], at_edges
