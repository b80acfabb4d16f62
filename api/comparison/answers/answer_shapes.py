"""What `POST /v1/comparisons` answers."""

from typing import Literal

from api.wire.shapes import Answer, MoneyAnswer


class CostLineAnswer(Answer, frozen=True, kw_only=True):
    """One line of a cost; `net + tax = gross`; `unit_price` as stated; `position` for parts alone."""

    code: Literal["part", "replacement", "shipping", "consumables", "labour", "core_deposit_not_refunded"]
    label: str
    position: str | None
    quantity: float
    unit: Literal["piece", "pack", "order", "job", "hour"]
    unit_price: MoneyAnswer
    net: MoneyAnswer
    tax: MoneyAnswer
    gross: MoneyAnswer


class CostNowAnswer(Answer, frozen=True, kw_only=True):
    """A cost now; `net`, `tax` and `total` are the sums of the lines' net, tax and gross."""

    lines: list[CostLineAnswer]
    net: MoneyAnswer
    tax: MoneyAnswer
    total: MoneyAnswer


class CoreDepositAnswer(Answer, frozen=True, kw_only=True):
    """A core deposit with its tax: paid at the counter, expected back, and the rest (in the total)."""

    paid: MoneyAnswer
    expected_refund: MoneyAnswer
    not_refunded: MoneyAnswer
    refund_chance: float


class SpreadAnswer(Answer, frozen=True, kw_only=True):
    """What an option may come to in all, by drawn histories.

    10, 50 and 90 of 100 histories cost no more than `p10`, `p50`, `p90`; `standard_error` is that of the
    histories' mean.
    """

    p10: MoneyAnswer
    p50: MoneyAnswer
    p90: MoneyAnswer
    standard_error: MoneyAnswer


class OptionAnswer(Answer, frozen=True, kw_only=True):
    """Repair or a replacement: what it renews, its cost now, and what to bring to the counter.

    Over the months: what later failures are expected to cost (discounted to today), that and the cost now,
    the spread, the chance that no option ends cheaper, and (for a replacement) the chance that repair ends
    cheaper than it. All of these are null without `keep_months`.
    """

    id: str
    option: Literal["repair", "new", "remanufactured", "used"]
    renewed: list[str]
    cost_now: CostNowAnswer
    core_deposit: CoreDepositAnswer | None
    pay_at_counter: MoneyAnswer
    expected_later: MoneyAnswer | None
    expected_total: MoneyAnswer | None
    spread: SpreadAnswer | None
    probability_cheapest: float | None
    repair_cheaper_probability: float | None


class WorthRenewingAnswer(Answer, frozen=True, kw_only=True):
    """Whether a position is worth renewing while the starter is open.

    `costs_now` is what the repair costs more with it, `saves_later` what its later failures are expected to
    cost less (below zero: more; null where it has failed and cannot be left). Those of `together_with` are
    renewed with it or not at all: their sums decide.
    """

    position: str
    renewed: bool
    why: Literal["failed", "with_failed", "pays", "does_not_pay"]
    costs_now: MoneyAnswer
    saves_later: MoneyAnswer | None
    together_with: list[str]


class BreakEvenAnswer(Answer, frozen=True, kw_only=True):
    """Where a replacement and the repair are expected to cost the same in all.

    `keep_months` are all such numbers of months from 1 to 240, the repair's best set chosen anew at each;
    `repair_cheaper_before_first` says which is cheaper when kept for less than the first of them.
    `labour_rate` (an hour) and `replacement_price` are the nearest to the stated ones. What is null has its
    reason in `reasons`, by name.
    """

    keep_months: list[float] | None
    repair_cheaper_before_first: bool | None
    labour_rate: MoneyAnswer | None
    replacement_price: MoneyAnswer | None
    reasons: dict[str, str]


class SwingAnswer(Answer, frozen=True, kw_only=True):
    """What a number 20 % lower and 20 % higher does to the best replacement's total minus the repair's.

    `input` is named as in a request (places as in `worth_renewing` and among the replacements), `of` is the
    position or replacement it belongs to. An effect above zero is in favour of the repair.
    """

    input: str
    of: str | None
    value: float | MoneyAnswer
    low: float | MoneyAnswer
    high: float | MoneyAnswer
    low_effect: MoneyAnswer
    high_effect: MoneyAnswer
    note: str | None


class AssumptionAnswer(Answer, frozen=True, kw_only=True):
    """What was assumed, the value taken, and where it comes from."""

    what: str
    value: str
    origin: str


class ComparisonAnswer(Answer, frozen=True, kw_only=True):
    """The options (repair first), the id of the recommended one, why, and on which assumptions.

    `keep_months` is null, and `worth_renewing`, `break_even` (by replacement) and `sensitivity` are empty,
    where only the costs now are compared.
    """

    currency: str
    tax_included: bool
    keep_months: float | None
    options: list[OptionAnswer]
    recommended: str
    reasons: list[str]
    worth_renewing: list[WorthRenewingAnswer]
    break_even: dict[str, BreakEvenAnswer]
    sensitivity: list[SwingAnswer]
    assumptions: list[AssumptionAnswer]
