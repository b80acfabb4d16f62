"""Lists come in the same order from both databases: by code point."""

from one_row_each import TABLE_NAMES, table
from sqlalchemy import Text, insert, inspect, select

from api.database import Database

WORDS = ["a", "B", "_", "Z", "é", "10", "9", "a-b", "A", "Ä", "ß", "ab", "ﬀ", "𝒜", "A-1", "~", "", "a b"]
"""Texts that dictionaries and code points put in different order, or that count as equal to some."""


def test_texts_are_ordered_by_code_point(database: Database) -> None:
    maker = table("maker")
    with database.write() as session:
        session.run(insert(maker), [{"code": word, "name": "Maker"} for word in WORDS])
    with database.read() as session:
        ordered = [row.code for row in session.rows(select(maker.c.code).order_by(maker.c.code))]
        after_a = [
            row.code
            for row in session.rows(select(maker.c.code).where(maker.c.code > "a").order_by(maker.c.code))
        ]
    assert ordered == sorted(WORDS)
    assert after_a == [word for word in sorted(WORDS) if word > "a"]


def test_every_text_column_compares_by_code_point(database: Database) -> None:
    inspector = inspect(database.engine)
    for name in TABLE_NAMES:
        for column in inspector.get_columns(name):
            if isinstance(column["type"], Text):
                assert database.is_embedded or column["type"].collation == "C", (name, column["name"])
                assert not database.is_embedded or column["type"].collation in (None, "BINARY")
