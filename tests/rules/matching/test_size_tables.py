"""Rows of sizes become columns in one order, or are refused with every fault."""

import numpy as np
import pytest
from bush_kind import BUSHING, NO_FLANGE, size, table

from api.errors import InvalidInput
from api.matching.sizes.size_table import Recorded
from tests.size_rows import SizeRow, build_size_table


def test_columns_hold_limits_counts_choices_and_what_is_not_recorded():
    sizes = table(
        size("B", bore=12.5, flange=NO_FLANGE, holes=2, oil="groove", listings=3), size("A", length=10)
    )
    assert sizes.codes == ("A", "B")
    assert len(sizes) == 2
    assert sizes.listings.tolist() == [0, 3]
    bore, flange = sizes.columns["bore"], sizes.columns["flange_diameter"]
    assert (bore.lower[1], bore.upper[1]) == (12_500_000, 12_518_000)
    assert bore.state.tolist() == [Recorded.NOT_RECORDED, Recorded.RECORDED]
    assert flange.does_not_apply.tolist() == [False, True]
    assert sizes.columns["holes"].lower.tolist() == [0, 2]
    assert sizes.columns["oil_supply"].upper.tolist() == [0, 2]
    assert bore.lower.dtype == np.int64


def test_the_order_of_rows_changes_nothing():
    rows = [size("C", bore=12.5), size("A", bore=13.0), size("B", bore=12.5)]
    one, other = build_size_table(BUSHING, rows), build_size_table(BUSHING, rows[::-1])
    assert one.codes == other.codes
    assert one.columns["bore"].lower.tolist() == other.columns["bore"].lower.tolist()


def test_every_fault_is_named_at_once():
    rows = [
        size("A", bore=(2, 1)),
        size("B", holes=-1, oil="spiral"),
        size("B", listings=-1),
        SizeRow(code="C", values={"thread": 8, "bore": 12, "holes": (1, 2), "flange_diameter": (0, 5)}),
    ]
    with pytest.raises(InvalidInput) as refused:
        table(*rows)
    assert {(*fault.path, fault.code) for fault in refused.value.faults} == {
        ("A", "bore", "bad_limits"),
        ("B", "holes", "bad_count"),
        ("B", "oil_supply", "unknown"),
        ("B", "code", "duplicate"),
        ("B", "listings", "negative"),
        ("C", "thread", "unknown"),
        ("C", "bore", "bad_limits"),
        ("C", "holes", "bad_count"),
        ("C", "flange_diameter", "bad_limits"),
    }
