"""A key is judged by its digest first and its times after; the outside hears one refusal."""

from datetime import UTC, datetime, timedelta, timezone

import attrs
import pytest

from api.access import judge_key as judging
from api.access.judge_key import Live, Refused, StoredKey, judge_key, or_refuse
from api.access.keys import KeyRefused, ScopeMissing, make_key, read_key
from api.access.moments import read_moment, write_moment

NOW = datetime(2026, 11, 25, 12, 0, 0, tzinfo=UTC)
NEW = make_key()
STORED = StoredKey(
    id="key-1",
    holder="Counter",
    shown=NEW.parts.shown,
    digest=NEW.parts.digest,
    scopes=("prices",),
    made_at=NOW - timedelta(days=1),
    expires_at=NOW + timedelta(days=364),
)
PRESENTED = read_key(NEW.text)


def test_a_good_key_is_live_and_has_its_scopes() -> None:
    judged = or_refuse(judge_key(STORED, PRESENTED, NOW))
    assert judged == Live(STORED)
    judged.require("prices")
    with pytest.raises(ScopeMissing):
        judged.require("catalogue")


REVOKED = attrs.evolve(STORED, revoked_at=NOW - timedelta(hours=1))
OTHER = attrs.evolve(STORED, digest=make_key().parts.digest)
CASES = [
    (None, None, "malformed"),
    (STORED, None, "malformed"),
    (None, PRESENTED, "unknown"),
    (OTHER, PRESENTED, "wrong"),
    (attrs.evolve(OTHER, revoked_at=NOW), PRESENTED, "wrong"),
    (REVOKED, PRESENTED, "revoked"),
    (attrs.evolve(REVOKED, expires_at=NOW - timedelta(minutes=1)), PRESENTED, "revoked"),
    (attrs.evolve(STORED, expires_at=NOW), PRESENTED, "expired"),
    (attrs.evolve(STORED, expires_at=NOW - timedelta(seconds=1)), PRESENTED, "expired"),
]


@pytest.mark.parametrize(("stored", "presented", "fault"), CASES)
def test_every_fault_is_known_inside_and_the_same_outside(
    stored: StoredKey, presented: object, fault: str
) -> None:
    judged = judge_key(stored, presented, NOW)  # type: ignore[arg-type]  # the cases mix both kinds
    assert judged == Refused(fault)  # type: ignore[arg-type]  # a plain word here
    with pytest.raises(KeyRefused) as refused:
        or_refuse(judged)
    assert type(refused.value) is KeyRefused
    assert attrs.asdict(refused.value) == {}


@pytest.mark.parametrize(("stored", "presented", "fault"), CASES)
def test_digests_of_full_length_are_compared_in_constant_time_whatever_the_fault(
    stored: StoredKey | None, presented: object, fault: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    compared: list[tuple[int, int]] = []
    real = judging.hmac.compare_digest

    def watched(one: str, other: str) -> bool:
        compared.append((len(one), len(other)))
        return real(one, other)

    monkeypatch.setattr(judging.hmac, "compare_digest", watched)
    judge_key(stored, presented, NOW)  # type: ignore[arg-type]  # the cases mix both kinds
    assert compared == [(64, 64)]


def test_it_is_live_until_the_second_before_it_expires() -> None:
    last = STORED.expires_at - timedelta(seconds=1)
    assert isinstance(judge_key(STORED, PRESENTED, last), Live)
    assert (STORED.state(last), STORED.state(STORED.expires_at)) == ("live", "expired")


def test_the_digest_is_not_told_by_what_is_printed() -> None:
    assert STORED.digest not in repr(STORED)


@pytest.mark.parametrize(
    ("moment", "written"),
    [
        (datetime(2026, 11, 25, 12, 0, 0, 999_999, tzinfo=UTC), "2026-11-25T12:00:00Z"),
        (datetime(2026, 11, 25, 1, 30, tzinfo=timezone(timedelta(hours=2))), "2026-11-24T23:30:00Z"),
        (datetime(2024, 2, 29, 23, 59, 59, tzinfo=UTC), "2024-02-29T23:59:59Z"),
    ],
)
def test_moments_are_written_in_utc_to_the_second(moment: datetime, written: str) -> None:
    """The form of RFC 3339 section 5.6, whose parser of Python's own library reads it too."""
    assert write_moment(moment) == written
    assert read_moment(written) == datetime.fromisoformat(written) == moment.replace(microsecond=0)
