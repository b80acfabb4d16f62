"""Table of the catalogue's own state."""

from sqlalchemy import Column
from sqlmodel import Field, SQLModel

from api.columns import STRICT, WHOLE, check, whole


class CatalogueState(SQLModel, table=True):
    """One row: a number that grows with every committed change of the catalogue.

    Whatever a process derives from the catalogue compares it to know whether it is still true.
    """

    __tablename__ = "catalogue_state"
    __table_args__ = (check("single_row", "id = 1"), STRICT)

    id: int = Field(sa_column=Column(WHOLE, primary_key=True, autoincrement=False))
    version: int = whole()
