"""What is told of one size."""

from typing import Any

from sqlalchemy import Row

from api.database import ReadSession
from api.wear_parts.shapes import SizeAnswer, size_dimension, size_members
from api.wear_parts.store import dimensions_of, size_values


def size_answer(reads: ReadSession, row: Row[Any]) -> SizeAnswer:
    """Return what is told of a size, from its row."""
    values = size_values(reads, [row.id]).get(row.id, {})
    dimensions = dimensions_of(reads, row.kind_code)
    return SizeAnswer(
        **size_members(row),
        dimensions=[size_dimension(one.code, one.name, values.get(one.code)) for one in dimensions],
    )
