"""What the front page says that the catalogue holds."""

from sqlalchemy import func, select

from api.columns import columns
from api.database import ReadSession
from api.offers.tables import Offer, Supplier
from api.starters.tables import Family, Starter
from api.wear_parts.tables import Maker, Part, Size

HOLDINGS = (
    ("starter families", Family),
    ("starters", Starter),
    ("sizes", Size),
    ("wear parts", Part),
    ("makers", Maker),
    ("suppliers", Supplier),
    ("offers", Offer),
)


def count_holdings(reads: ReadSession) -> list[tuple[str, int]]:
    """Return how many of each noun there are, withdrawn ones left out."""
    return [
        (
            noun,
            reads.number(
                select(func.count()).select_from(table).where(columns(table).withdrawn_on.is_(None))
            ),
        )
        for noun, table in HOLDINGS
    ]
