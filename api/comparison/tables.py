"""Tables of the labour times and taxes that a comparison takes where the caller states none."""

from sqlmodel import SQLModel

from api.columns import STRICT, check, one_of, text, whole

LABOUR_SCOPES = ("access", "strip", "position")


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
