"""A key says whose it is, holds 256 random bits, and only its SHA-256 is kept."""

import base64
import binascii
import hashlib
import re
from itertools import count

import attrs
import pytest

from api.access.keys import (
    KEY_LENGTH,
    SCOPES,
    KeyRefused,
    ScopeMissing,
    allows,
    make_key,
    read_key,
    require_scope,
)


def numbered(first: int) -> bytes:
    """Return a source of bytes that anybody can follow."""
    return bytes(range(first, first + 32))


def test_a_key_of_known_bytes_is_written_as_base32_and_crc_32_say() -> None:
    """RFC 4648 section 6 by `base64`, CRC-32 (ISO 3309) by `binascii`, SHA-256 (FIPS 180-4) by `hashlib`."""
    identifier, secret = b"\x00\x01\x02\x03\x04", numbered(5)
    drawn = iter((identifier, secret))
    new = make_key(lambda wanted: next(drawn)[:wanted])
    prefix, shown, rest = new.text.split("_")
    assert prefix == "startwright"
    assert base64.b32decode(shown.upper()) == identifier
    assert base64.b32decode(rest[:52].upper() + "====") == secret
    checked = new.text[:-7].encode()
    assert base64.b32decode(new.text[-7:].upper() + "=") == binascii.crc32(checked).to_bytes(4, "big")
    assert new.parts.shown == f"startwright_{shown}"
    assert new.parts.digest == hashlib.sha256(new.text.encode()).hexdigest()


def test_crc_32_is_the_one_whose_check_value_is_published() -> None:
    """CRC-32/ISO-HDLC of "123456789" is CBF43926 (catalogue of parametrised CRC algorithms; from memory)."""
    assert binascii.crc32(b"123456789") == 0xCBF43926


def test_base32_has_the_published_alphabet() -> None:
    """RFC 4648 section 10: "foobar" is MZXW6YTBOI====== (from memory)."""
    assert base64.b32encode(b"foobar") == b"MZXW6YTBOI======"


def test_a_key_takes_256_bits_of_the_source() -> None:
    asked: list[int] = []

    def source(wanted: int) -> bytes:
        asked.append(wanted)
        return bytes(wanted)

    make_key(source)
    assert sum(asked) * 8 == 256 + 40


def test_keys_differ_and_are_read_back() -> None:
    made = [make_key() for _ in range(200)]
    assert len({new.text for new in made}) == len({new.parts.digest for new in made}) == 200
    for new in made:
        assert len(new.text) == KEY_LENGTH
        assert re.fullmatch(r"[a-z0-9_]+", new.text)
        assert read_key(new.text) == new.parts


def test_a_key_is_not_told_by_what_is_printed_of_it() -> None:
    new = make_key()
    assert new.text not in repr(new)
    assert new.parts.shown in repr(new)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "startwright_",
        "startwright_aaaaaaaa",
        "x" * KEY_LENGTH,
        "startwright_" + "a" * 68,
        "ſtartwright_" + "a" * (KEY_LENGTH - 12),
        "\0" * KEY_LENGTH,
        "é" * KEY_LENGTH,
        "a" * 1_000_000,
    ],
    ids=range(9),
)
def test_what_is_no_key_is_refused_in_the_same_words(text: str) -> None:
    with pytest.raises(KeyRefused) as refused:
        read_key(text)
    assert type(refused.value) is KeyRefused
    assert "unknown, mistyped, cut short, expired or revoked" in refused.value.explain()
    assert attrs.asdict(refused.value) == {}  # nothing by which one could be told from another


def test_a_key_with_space_around_it_or_in_capitals_is_refused() -> None:
    text = make_key().text
    for wrong in (f" {text}", f"{text}\n", text.upper(), text.replace("_", "-"), text + text):
        with pytest.raises(KeyRefused):
            read_key(wrong)


def test_two_neighbours_swapped_are_refused() -> None:
    for _ in range(20):
        text = make_key().text
        for place in range(len(text) - 1):
            swapped = text[:place] + text[place + 1] + text[place] + text[place + 2 :]
            if swapped != text:
                with pytest.raises(KeyRefused):
                    read_key(swapped)


@pytest.mark.parametrize("needed", SCOPES)
def test_a_scope_allows_itself_and_admin_allows_all(needed: str) -> None:
    assert allows((needed,), needed)
    assert allows(("admin",), needed)
    others = [scope for scope in SCOPES if scope not in (needed, "admin")]
    assert not allows(others, needed)
    require_scope(("admin",), needed)
    with pytest.raises(ScopeMissing) as missing:
        require_scope(tuple(others), needed)
    assert repr(needed) in missing.value.explain()
    assert all(scope in missing.value.explain() for scope in others)


def test_a_source_that_repeats_makes_the_same_key() -> None:
    drawn = count()
    keys = {make_key(lambda wanted: bytes([next(drawn) % 2]) * wanted).text for _ in range(3)}
    assert len(keys) == 1
