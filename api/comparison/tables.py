"""Tables of what a comparison takes where none is stated: hours, taxes, wear lives, usual figures."""

from sqlmodel import SQLModel

from api.columns import STRICT, check, one_of, text, whole

LABOUR_SCOPES = ("access", "strip", "position")
LIFE_SCOPES = ("position", "remainder", "replacement")
USAGE_CODES = ("starts_per_month", "discount_rate_per_year", "incident_cost")


class LabourTime(SQLModel, table=True):
    """Hours times 1,000 for an access class, for the strip, or for renewing at a position."""

    __tablename__ = "labour_time"
    __table_args__ = (
        one_of("scope", LABOUR_SCOPES),
        check("hours_plausible", "hours_thousandths BETWEEN 0 AND 100000"),
        STRICT,
    )

    scope: str = text(key=True)
    code: str = text(key=True)
    hours_thousandths: int = whole()
    origin: str = text()


class ShopTerms(SQLModel, table=True):
    """A workshop's rate, consumables and taxes: the scenario's defaults, one row a currency.

    Taxes are parts per million of the amount they fall on; `tax_included` says that prices hold them.
    """

    __tablename__ = "shop_terms"
    __table_args__ = (
        check("currency_is_code", "length(currency) = 3"),
        check("amounts_not_negative", "rate_per_hour_minor >= 0 AND consumables_minor >= 0"),
        check("parts_tax_is_rate", "tax_parts_millionths BETWEEN 0 AND 1000000"),
        check("labour_tax_is_rate", "tax_labour_millionths BETWEEN 0 AND 1000000"),
        check("deposit_tax_is_rate", "tax_deposit_millionths BETWEEN 0 AND 1000000"),
        check("included_is_flag", "tax_included IN (0, 1)"),
        STRICT,
    )

    currency: str = text(key=True)
    rate_per_hour_minor: int = whole()
    consumables_minor: int = whole()
    tax_parts_millionths: int = whole()
    tax_labour_millionths: int = whole()
    tax_deposit_millionths: int = whole()
    tax_included: int = whole()
    origin: str = text()


class WearLife(SQLModel, table=True):
    """A Weibull life in starts of a position's part, of the remainder, of a whole starter by condition."""

    __tablename__ = "wear_life"
    __table_args__ = (
        one_of("scope", LIFE_SCOPES),
        check("shape_in_bounds", "shape_thousandths BETWEEN 500 AND 10000"),
        check("scale_plausible", "scale_starts BETWEEN 1 AND 1000000000"),
        STRICT,
    )

    scope: str = text(key=True)
    code: str = text(key=True)
    shape_thousandths: int = whole()
    scale_starts: int = whole()
    origin: str = text()


class UsageFigure(SQLModel, table=True):
    """A usual figure, assumed where none is stated, in millionths; only money has a currency."""

    __tablename__ = "usage_figure"
    __table_args__ = (
        one_of("code", USAGE_CODES),
        check("money_has_currency", "(code = 'incident_cost') = (length(currency) = 3)"),
        check("currency_is_code", "length(currency) IN (0, 3)"),
        check("value_not_negative", "value_millionths >= 0"),
        STRICT,
    )

    code: str = text(key=True)
    currency: str = text(key=True)
    value_millionths: int = whole()
    origin: str = text()
