"""References and unique keys hold on both databases, and every constraint has a name."""

import pytest
from one_row_each import ROWS, TABLE_NAMES, add, add_rows_before, table
from sqlalchemy import ForeignKeyConstraint, UniqueConstraint, delete, inspect
from sqlalchemy.exc import IntegrityError

from api.database import Database

REFERENCES = {
    str(constraint.name): (name, constraint)
    for name in TABLE_NAMES
    for constraint in table(name).constraints
    if isinstance(constraint, ForeignKeyConstraint)
}
UNIQUE = {
    str(constraint.name): (name, constraint)
    for name in TABLE_NAMES
    for constraint in table(name).constraints
    if isinstance(constraint, UniqueConstraint) and constraint.name != "uq_size_id_kind_code"
}
"""But for the one that only lets a size's kind be referred to, since its id alone is a primary key."""


def own_column(constraint: ForeignKeyConstraint) -> str:
    """Return the column of a reference that the fewest other references of its table share."""
    users = [one.column_keys for one in constraint.table.foreign_key_constraints]
    return min(constraint.column_keys, key=lambda column: sum(column in keys for keys in users))


def others_of(name: str, column: str) -> dict[str, str | None]:
    """Return what else of a table's row has to change where it refers to something by this column."""
    if column == "starter_id":
        return {"part_id": None, "starter_id": "starter-1"}
    if column == "position_id" and "size_id" in ROWS[name]:
        part = {"part_id": None} if "part_id" in ROWS[name] else {}
        return {"size_id": None, "position_id": "position-1", **part}
    return {}


@pytest.mark.parametrize("reference", sorted(REFERENCES))
def test_a_dangling_reference_is_refused(database: Database, reference: str) -> None:
    name, constraint = REFERENCES[reference]
    changes = {**others_of(name, own_column(constraint)), own_column(constraint): "nowhere"}
    with database.write() as session:
        add_rows_before(session.connection, name)
        with pytest.raises(IntegrityError), session.connection.begin_nested():
            add(session.connection, name, **changes)


@pytest.mark.parametrize("reference", sorted(REFERENCES))
def test_what_is_referred_to_cannot_be_deleted(database: Database, reference: str) -> None:
    name, constraint = REFERENCES[reference]
    with database.write() as session:
        add_rows_before(session.connection, name)
        add(session.connection, name, **others_of(name, own_column(constraint)))
        with pytest.raises(IntegrityError), session.connection.begin_nested():
            session.run(delete(constraint.referred_table))


@pytest.mark.parametrize("key", sorted(UNIQUE))
def test_a_second_row_of_the_same_key_is_refused(database: Database, key: str) -> None:
    name, constraint = UNIQUE[key]
    others = {
        column.name: "another" for column in table(name).primary_key if column.name not in constraint.columns
    }
    with database.write() as session:
        add_rows_before(session.connection, name)
        add(session.connection, name)
        with pytest.raises(IntegrityError), session.connection.begin_nested():
            add(session.connection, name, **others)


@pytest.mark.parametrize("name", TABLE_NAMES)
def test_a_second_row_of_the_same_primary_key_is_refused(database: Database, name: str) -> None:
    unique = {
        column: "another"
        for of, constraint in UNIQUE.values()
        if of == name
        for column in constraint.columns.keys()[-1:]
    }
    if name == "position":  # its codes are a closed list
        unique["code"] = "brush_set"
    with database.write() as session:
        add_rows_before(session.connection, name)
        add(session.connection, name)
        with pytest.raises(IntegrityError), session.connection.begin_nested():
            add(session.connection, name, **unique)


def test_every_constraint_has_a_name(database: Database) -> None:
    inspector = inspect(database.engine)
    for name in ROWS:
        found = [
            inspector.get_pk_constraint(name),
            *inspector.get_foreign_keys(name),
            *inspector.get_unique_constraints(name),
            *inspector.get_check_constraints(name),
            *inspector.get_indexes(name),
        ]
        assert all(one["name"] for one in found), (name, found)
        declared = {constraint.name for constraint in table(name).constraints}
        assert declared <= {one["name"] for one in found}
