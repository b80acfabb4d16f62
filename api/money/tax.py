"""Tax on a list of amounts, added to them or already contained in them.

The tax at one rate is computed on the sum of its lines and rounded once; a line's own share is what
the running sum grows by. So the lines' taxes always add up to the tax on the whole, however many
lines there are, and each share is within one minor unit of the tax on that line alone. That is how
invoices state it: one tax amount for each rate, on the sum taxed at that rate (EN 16931, rule
BR-CO-17, from memory).
"""

from collections.abc import Sequence
from fractions import Fraction

import attrs

from api.money.amounts import Money, round_half_away


@attrs.frozen
class TaxRates:
    """The tax rates of a place (0 to 1, exact): on parts, on labour, on core deposits kept.

    `included` says that stated amounts already contain the tax: it is then shown, not added.
    """

    parts: Fraction
    labour: Fraction
    deposit: Fraction
    included: bool = False


@attrs.frozen
class Taxed:
    """One amount with its tax: `net + tax == gross`, always."""

    net: Money
    tax: Money
    gross: Money


def tax_amounts(stated: Sequence[Money], rate: Fraction, *, included: bool) -> tuple[Taxed, ...]:
    """Return the stated amounts (one currency) with their tax at one rate, in the same order.

    Where tax is added, net is the stated amount and the tax of the whole is `sum * rate`; where it is
    included, gross is the stated amount and the tax contained in the whole is `sum * rate / (1 + rate)`.
    Raises `CurrencyMismatch` when the amounts are not of one currency.
    """
    share = rate / (1 + rate) if included else rate
    taxed = []
    running: Money | None = None
    tax_so_far = 0
    for amount in stated:
        running = amount if running is None else running + amount
        tax_to_here = round_half_away(running.minor * share)
        tax = Money(tax_to_here - tax_so_far, amount.currency)
        tax_so_far = tax_to_here
        taxed.append(Taxed(amount - tax, tax, amount) if included else Taxed(amount, tax, amount + tax))
    return tuple(taxed)
