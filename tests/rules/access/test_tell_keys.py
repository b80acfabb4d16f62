"""One line tells what may be known of a key."""

from datetime import UTC, date, datetime, timedelta

import attrs
import pytest

from api.access.judge_key import StoredKey
from api.access.tell_keys import tell_key

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
KEY = StoredKey(
    id="0193",
    holder="Counter",
    shown="startwright_k7dm2qxz",
    digest="d" * 64,
    scopes=("catalogue", "prices"),
    made_at=NOW - timedelta(days=1),
    expires_at=NOW + timedelta(days=1),
)


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({}, ["live until 2026-11-26T12:00:00Z", "last used never"]),
        ({"expires_at": NOW}, ["expired since 2026-11-25T12:00:00Z"]),
        ({"expires_at": NOW, "revoked_at": NOW}, ["revoked 2026-11-25T12:00:00Z"]),
        ({"last_used_on": date(2026, 11, 24)}, ["last used 2026-11-24"]),
    ],
)
def test_a_line_tells_the_state_the_holder_the_scopes_and_the_id(
    changes: dict[str, object], told: list[str]
) -> None:
    line = tell_key(attrs.evolve(KEY, **changes), NOW)
    for piece in ["startwright_k7dm2qxz", "Counter", "catalogue, prices", "ID 0193", *told]:
        assert piece in line
    assert "d" * 64 not in line
