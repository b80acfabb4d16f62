"""Keys are kept, judged, revoked and noted on both databases; the key itself is never kept."""

from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from threading import Barrier
from time import sleep

import pytest
from databases import Place
from sqlalchemy import delete, event, select, update
from sqlalchemy.exc import IntegrityError

from api.access.admit_key import LastUses, judge_text
from api.access.judge_key import Live, Refused, StoredKey, or_refuse
from api.access.keys import KeyRefused
from api.access.manage_keys import TooManyKeys, make_access_key, revoke_access_key
from api.access.store import add_key, find_key, find_shown, list_keys
from api.access.tables import AccessKey
from api.database import Database, DatabaseUnavailable
from api.errors import InvalidInput, UnknownCode

NOW = datetime(2026, 11, 25, 12, 0, 0, 500_000, tzinfo=UTC)


def made(
    database: Database, holder: str = "Counter", *scopes: str, now: datetime = NOW
) -> tuple[str, StoredKey]:
    """Make a key and return its text and what is kept."""
    with database.write() as writes:
        new, kept = make_access_key(writes, holder, scopes or ("prices",), 365, now)
    return new.text, kept


def judged(database: Database, text: str, now: datetime = NOW) -> Live | Refused:
    with database.read() as reads:
        return judge_text(reads, text, now)


def test_a_key_is_kept_without_its_text_and_read_back_as_made(database: Database) -> None:
    text, kept = made(database, "Counter", "prices", "catalogue")
    assert kept.scopes == ("catalogue", "prices")
    assert kept.made_at == NOW.replace(microsecond=0)
    assert kept.expires_at - kept.made_at == timedelta(days=365)
    with database.read() as reads:
        assert (
            find_shown(reads, kept.shown) == find_key(reads, kept.id) == find_key(reads, kept.shown) == kept
        )
        (row,) = reads.rows(select(AccessKey))
    secret = text.rsplit("_", 1)[1]
    assert not any(secret in str(value) or text in str(value) for value in row)


def test_a_good_key_is_live_and_every_other_is_refused_alike(database: Database) -> None:
    text, kept = made(database)
    assert judged(database, text) == Live(kept)
    other_text, other = made(database, "Somebody else")
    with database.write() as writes:
        revoke_access_key(writes, other.id, NOW)
    assert judged(database, other_text) == Refused("revoked")
    assert judged(database, text, kept.expires_at) == Refused("expired")
    assert judged(database, text[:-1]) == Refused("malformed")
    with database.write() as writes:
        writes.run(delete(AccessKey))
    assert judged(database, text) == Refused("unknown")
    for wrong in (text, other_text, text[:-1], "", "\0"):
        with pytest.raises(KeyRefused):
            or_refuse(judged(database, wrong))


def test_a_key_of_the_same_shown_part_but_other_bits_is_wrong(database: Database) -> None:
    text, _ = made(database)
    with database.write() as writes:
        writes.run(update(AccessKey).values(digest="0" * 64))
    assert judged(database, text) == Refused("wrong")


def test_a_key_is_judged_by_one_query_that_an_index_answers(database: Database) -> None:
    text, _ = made(database)
    told: list[str] = []
    with database.read() as reads:
        event.listen(database.engine, "before_cursor_execute", lambda *seen: told.append(seen[2]))
        judge_text(reads, text, NOW)
        assert len(told) == 1
        judge_text(reads, text[:-1], NOW)
    assert [statement for statement in told if "access_key" in statement] == told[:1]
    assert told[0].lstrip().upper().startswith("SELECT")


def test_a_holder_has_two_live_keys_at_most_and_a_revoked_one_makes_room(database: Database) -> None:
    _, first = made(database)
    _, second = made(database)
    with pytest.raises(TooManyKeys) as refused:
        made(database)
    assert first.shown in refused.value.explain() and second.shown in refused.value.explain()
    made(database, "Somebody else")
    with database.write() as writes:
        revoke_access_key(writes, first.shown, NOW)
    made(database)
    with pytest.raises(TooManyKeys):
        made(database)
    made(database, now=second.expires_at)


def test_ten_at_once_make_two_keys_for_one_holder(place: Place) -> None:
    start = Barrier(10)

    def make() -> bool:
        with closing(place.open()) as database:
            start.wait()
            try:
                made(database)
            except TooManyKeys:
                return False
            return True

    with ThreadPoolExecutor(10) as pool:
        assert sum(pool.map(lambda _: make(), range(10))) == 2
    with closing(place.open()) as database, database.read() as reads:
        assert len(list_keys(reads)) == 2


def test_every_fault_is_named_at_once_and_nothing_is_kept(database: Database) -> None:
    with pytest.raises(InvalidInput) as refused, database.write() as writes:
        make_access_key(writes, " Counter", ("price", "prices", "prices"), 731, NOW)
    faults = {fault.path: fault for fault in refused.value.faults}
    assert set(faults) == {("holder",), ("scopes", 0), ("scopes", 2), ("days",)}
    assert faults["scopes", 0].nearest == "prices"
    with database.read() as reads:
        assert list_keys(reads) == []


@pytest.mark.parametrize(
    ("holder", "scopes", "days", "path"),
    [
        ("", ("prices",), 365, ("holder",)),
        ("x" * 81, ("prices",), 365, ("holder",)),
        ("two\nlines", ("prices",), 365, ("holder",)),
        ("nothing\0", ("prices",), 365, ("holder",)),
        ("Counter", (), 365, ("scopes",)),
        ("Counter", ("Prices",), 365, ("scopes", 0)),
        ("Counter", ("prices",), 0, ("days",)),
        ("Counter", ("prices",), -1, ("days",)),
    ],
)
def test_a_value_that_cannot_be_taken_is_named(
    database: Database, holder: str, scopes: tuple[str, ...], days: int, path: tuple[str | int, ...]
) -> None:
    with database.write() as writes, pytest.raises(InvalidInput) as refused:
        make_access_key(writes, holder, scopes, days, NOW)
    assert [fault.path for fault in refused.value.faults] == [path]


def test_keys_are_listed_by_holder_and_age(database: Database) -> None:
    for holder, hours in (("Zinc", 0), ("Anvil", 2), ("Anvil", 1)):
        made(database, holder, now=NOW + timedelta(hours=hours))
    with database.read() as reads:
        listed = [(key.holder, key.made_at.hour) for key in list_keys(reads)]
    assert listed == [("Anvil", 13), ("Anvil", 14), ("Zinc", 12)]


def test_a_revoked_key_keeps_the_time_at_which_it_was_revoked_first(database: Database) -> None:
    _, kept = made(database)
    later = NOW + timedelta(hours=1)
    with database.write() as writes:
        first = revoke_access_key(writes, kept.id, later)
        again = revoke_access_key(writes, kept.shown, later + timedelta(hours=1))
    assert first.revoked_at == again.revoked_at == later.replace(microsecond=0)


def test_a_clock_put_back_does_not_keep_a_key_from_being_revoked(database: Database) -> None:
    _, kept = made(database)
    with database.write() as writes:
        assert revoke_access_key(writes, kept.id, NOW - timedelta(days=1)).revoked_at == kept.made_at


@pytest.mark.parametrize("name", ["", "nobody", "startwright_aaaaaaaa", "a\0b", "%"])
def test_a_key_that_is_not_there_cannot_be_revoked(database: Database, name: str) -> None:
    made(database)
    with pytest.raises(UnknownCode), database.write() as writes:
        revoke_access_key(writes, name, NOW)
    with database.read() as reads:
        assert [key.revoked_at for key in list_keys(reads)] == [None]


def test_the_last_use_is_written_once_a_day(database: Database) -> None:
    _, kept = made(database)
    uses = LastUses(database)
    assert uses.note(kept, NOW)
    with database.read() as reads:
        today = find_key(reads, kept.id)
    assert today is not None and today.last_used_on == date(2026, 11, 25)
    assert not uses.note(today, NOW + timedelta(hours=11))
    assert not uses.note(kept, NOW)  # read before the other noted it
    assert not LastUses(database).note(kept, NOW)  # by another worker
    assert not uses.note(today, NOW - timedelta(days=1))
    assert uses.note(today, NOW + timedelta(hours=12))


def test_noting_a_use_on_a_noted_day_opens_no_transaction(database: Database) -> None:
    _, kept = made(database)
    LastUses(database).note(kept, NOW)
    with database.read() as reads:
        today = find_key(reads, kept.id)
    assert today is not None
    begun: list[object] = []
    event.listen(database.engine, "begin", begun.append)
    assert not LastUses(database).note(today, NOW)
    assert begun == []


def test_a_database_that_cannot_be_written_does_not_fail_the_use(place: Place) -> None:
    with closing(place.open()) as database:
        _, kept = made(database)
        uses = LastUses(database)

        def refuse(_: object) -> None:
            raise DatabaseUnavailable("other writers were busy for too long")

        event.listen(database.engine, "begin", refuse)
        assert not uses.note(kept, NOW)
        event.remove(database.engine, "begin", refuse)
        assert uses.note(kept, NOW)


def test_while_one_use_waits_for_the_database_no_other_does(database: Database) -> None:
    _, kept = made(database)
    uses = LastUses(database)
    with ThreadPoolExecutor(1) as pool:
        with database.write() as writes:
            writes.run(update(AccessKey).values(holder="Held"))
            waiting = pool.submit(uses.note, kept, NOW)
            while not uses._tried:
                sleep(0.001)
            assert not uses.note(kept, NOW)  # at once, though the other one waits
            assert not waiting.done()
        assert waiting.result()


def test_two_keys_of_the_same_shown_part_are_not_kept(database: Database) -> None:
    _, kept = made(database)
    with pytest.raises(IntegrityError), database.write() as writes:
        add_key(writes, StoredKey("another", *[getattr(kept, name) for name in FIELDS]))


FIELDS = ("holder", "shown", "digest", "scopes", "made_at", "expires_at")
