"""Queries of the answers that are kept so that a repeated request is answered alike."""

import attrs
import msgspec
from sqlalchemy import delete, insert, select

from api.access.tables import AnsweredRequest
from api.columns import columns
from api.database import ReadSession, WriteSession
from api.wire.writing import Encoded

_answered = columns(AnsweredRequest)


@attrs.frozen
class StoredAnswer:
    """An answer under the digest of its key, with the digest of the request that it answers."""

    name: str
    request: str
    answered_at: str
    answer: Encoded


def find_answer(reads: ReadSession, name: str) -> StoredAnswer | None:
    """Return what was answered under a key."""
    row = reads.first(select(*_answered).where(_answered.key_digest == name))
    if row is None:
        return None
    fields = msgspec.json.decode(row.fields, type=dict[str, str])
    return StoredAnswer(
        row.key_digest, row.request_digest, row.answered_at, Encoded(row.status, row.content.encode(), fields)
    )


def add_answer(writes: WriteSession, stored: StoredAnswer) -> None:
    """Keep an answer, in place of one that was purged or has lapsed."""
    writes.run(delete(AnsweredRequest).where(_answered.key_digest == stored.name))
    writes.run(
        insert(AnsweredRequest),
        {
            "key_digest": stored.name,
            "request_digest": stored.request,
            "answered_at": stored.answered_at,
            "status": stored.answer.status,
            "content": stored.answer.content.decode(),
            "fields": msgspec.json.encode(dict(stored.answer.fields)).decode(),
        },
    )


def purge_answers(writes: WriteSession, until: str) -> int:
    """Forget every answer that was given up to a moment; return how many."""
    return writes.run(delete(AnsweredRequest).where(_answered.answered_at <= until))
