"""The renewal function of a new piece at small times, as a power series.

Time is in units of the scale throughout this module and x = t^shape. The renewal function is an entire
function of x,

    M(t) = sum over k >= 1 of A_k x^k,    A_k = (-1)^(k-1) a_k / Gamma(1 + k b),
    a_k = g_k - sum over 0 < j < k of g_j a_(k-j),    g_k = Gamma(1 + k b) / k!,

which follows from the transform M = F / (1 - f) term by term (our derivation; the series is known in
the literature of renewal theory for Weibull lives). A_k is reckoned in ratios of gamma functions that
stay near 1. Up to x = 3 thirty terms leave less than 1e-15, and no more than two digits cancel.
"""

import numpy as np
from scipy.special import gammaln

from api.wear_life.weibull import FloatArray

REACH = 3.0
"""Greatest x at which the series is used."""
_TERMS = 30
_ORDERS = np.arange(_TERMS + 1)
_INVERSE_FACTORIALS = np.exp(-gammaln(1.0 + _ORDERS))
_REST = np.abs(_ORDERS[:, None] - _ORDERS)


def series_coefficients(shape: float) -> FloatArray:
    """Return A_1, A_2, ... for the shape."""
    logs = gammaln(1.0 + _ORDERS * shape)
    # Gamma(1 + jb) Gamma(1 + (k-j)b) / Gamma(1 + kb), j <= k, is one over a binomial number: never above 1.
    shares = np.exp(np.minimum(logs + logs[_REST] - logs[:, None], 0.0)) * _INVERSE_FACTORIALS
    magnitudes = np.zeros(_TERMS + 1)
    for k in range(1, _TERMS + 1):
        magnitudes[k] = _INVERSE_FACTORIALS[k] - shares[k, 1:k] @ magnitudes[k - 1 : 0 : -1]
    magnitudes[2::2] *= -1.0
    return magnitudes[1:]


def renewals_by_series(coefficients: FloatArray, x: FloatArray) -> FloatArray:
    """Return the renewal function where the cumulative hazard is `x` (0 to `REACH`)."""
    total = np.full_like(x, coefficients[-1])
    for coefficient in coefficients[-2::-1]:
        total *= x
        total += coefficient
    total *= x
    return total
