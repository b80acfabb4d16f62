"""The currencies an amount can be in, and how many decimals each has.

Source: the list of ISO 4217 as the `iso4217` package carries it. Codes that the standard gives no
minor unit (gold, test codes, the code for "no currency") cannot hold a price and are refused.
"""

import difflib

import attrs
import iso4217

from api.errors import DomainError, FieldFault, shown


@attrs.frozen(order=False)
class Currency:
    """A currency: its three-letter code of ISO 4217 and its count of decimals (0, 2, 3 or 4)."""

    code: str
    minor_digits: int

    @property
    def minor_per_major(self) -> int:
        """Return how many minor units make one major unit: 1, 100, 1,000 or 10,000."""
        return int(10**self.minor_digits)


@attrs.frozen
class UnknownCurrency(DomainError):
    """No price can be in this currency. `nearest` is the closest known code, if any."""

    value: str
    nearest: str | None = None

    def explain(self) -> str:
        """Return what was given and what was expected."""
        hint = f" The nearest known one is {self.nearest}." if self.nearest else ""
        return f"{self.value!r} is not a currency code of ISO 4217 with a minor unit.{hint}"

    def fault(self, *path: str | int) -> FieldFault:
        """Return this as a fault of the value at `path`."""
        expected = "a currency code of ISO 4217 with a minor unit, in capitals, such as 'USD'"
        return FieldFault(path, self.value, expected, "unknown_currency", self.nearest)


@attrs.frozen
class CurrencyMismatch(DomainError):
    """Two currencies met where no rate between them is stated."""

    left: str
    right: str

    def explain(self) -> str:
        """Return both currencies."""
        return f"Amounts in {self.left} and {self.right} cannot be put together without a stated rate."


_KNOWN = {
    entry.code: Currency(entry.code, entry.exponent)
    for entry in iso4217.Currency
    if entry.exponent is not None
}

CURRENCY_CODES: tuple[str, ...] = tuple(sorted(_KNOWN))
"""Every code that `find_currency` knows, in alphabetical order."""


def find_currency(code: str) -> Currency:
    """Return the currency of an ISO 4217 code (three capitals).

    Raises `UnknownCurrency` for anything else, codes without a minor unit among it.
    """
    currency = _KNOWN.get(code)
    if currency is None:
        close = difflib.get_close_matches(code[:8].strip().upper(), CURRENCY_CODES, n=1)
        raise UnknownCurrency(shown(code), close[0] if close else None)
    return currency
