"""JSON is read strictly: what RFC 8259 forbids or leaves open is refused with its reason."""

import pytest

from api.wire.json_text import read_json
from api.wire.refusals import UnreadableBody


def test_a_plain_body_is_read() -> None:
    assert read_json(b'{"a": [1, 2.5, "x", null, true]}') == {"a": [1, 2.5, "x", None, True]}


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        (b"", "Expecting value"),
        (b'{"a": 1', "line 1 column"),
        (b'{"a": 1, "a": 2}', "'a' stands twice"),
        (b'{"outer": {"b": 1, "b": 1}}', "'b' stands twice"),
        (b'{"a": NaN}', "NaN is not a JSON number"),
        (b'{"a": -Infinity}', "-Infinity is not a JSON number"),
        (b'{"a": 1e400}', "longer or larger"),
        (b'{"a": ' + b"9" * 10_000 + b"}", "more than 40 characters"),
        (b'{"a": 0.' + b"9" * 10_000 + b"}", "longer or larger"),
        (b"[" * 200_000, "nested too deep"),
        (b'{"a":' * 200_000, "nested too deep"),
        (b'{"a": "x\\u0000y"}', "NUL"),
        (b'{"x\\u0000y": 1}', "NUL"),
        (b'{"a": ["\\u0000"]}', "NUL"),
        (b"\xff\xfe", "not UTF-8"),
        ("﻿{}".encode(), "BOM"),
        (b'{"a": "\\ud800"}', "surrogate"),
    ],
)
def test_what_is_not_taken_is_refused_with_its_reason(text: bytes, reason: str) -> None:
    with pytest.raises(UnreadableBody) as refused:
        read_json(text)
    assert reason in refused.value.explain()


@pytest.mark.parametrize(
    ("text", "place"),
    [
        (b'{"a": [1, {"b/c": NaN}]}', "at #/a/1/b~1c"),
        (b'{"a": 0, "b": -1e999}', "at #/b"),
        (b'[0, {"n": ' + b"9" * 50 + b"}]", "at #/1/n"),
        (b'{"a": {"x": "q\\u0000"}}', "at #/a/x"),
        (b'["ok", "\\udfff"]', "at #/1"),
        (b"Infinity", "at #"),
    ],
)
def test_a_number_or_text_that_is_not_taken_is_named_by_its_pointer(text: bytes, place: str) -> None:
    """Pointers as RFC 6901 has them, `/` within a name written `~1`."""
    with pytest.raises(UnreadableBody) as refused:
        read_json(text)
    assert refused.value.explain().removesuffix(".").endswith(place)
