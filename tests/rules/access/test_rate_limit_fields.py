"""How many are left and when all are back is told in the draft's fields, which the draft's grammar reads."""

import http_sf
import pytest

from api.access.rate_limits import (
    ADDRESS,
    KEY,
    REFUSED_KEYS,
    Policy,
    Tally,
    TooManyRequests,
    counted_address,
    first_refusal,
    limit_fields,
)

DEFAULT = Policy("default", 100, 60)
HOURLY = Policy("hourly", 1_000, 3_600)


def read(field: str) -> list[tuple[str, dict[str, int]]]:
    """Read a list of the structured fields (RFC 9651 section 4.2) by a library for them."""
    return list(http_sf.parse(field.encode("ascii"), tltype="list"))


def test_the_fields_are_those_of_the_drafts_examples() -> None:
    """draft-ietf-httpapi-ratelimit-headers-10: q and w of a policy, r and t of what is left of it."""
    fields = limit_fields([Tally(DEFAULT, True, 50, 30)])
    assert fields == {"RateLimit-Policy": '"default";q=100;w=60', "RateLimit": '"default";r=50;t=30'}
    assert read(fields["RateLimit-Policy"]) == [("default", {"q": 100, "w": 60})]
    assert read(fields["RateLimit"]) == [("default", {"r": 50, "t": 30})]


def test_several_policies_stand_in_one_list_and_the_longest_refusal_says_when_to_retry() -> None:
    tallies = [Tally(DEFAULT, False, 0, 12), Tally(HOURLY, False, 0, 1_800), Tally(KEY, True, 5, 60)]
    fields = limit_fields(tallies)
    assert fields["Retry-After"] == "1800"
    assert [name for name, _ in read(fields["RateLimit-Policy"])] == ["default", "hourly", "key"]
    assert read(fields["RateLimit"]) == [
        ("default", {"r": 0, "t": 12}),
        ("hourly", {"r": 0, "t": 1_800}),
        ("key", {"r": 5, "t": 60}),
    ]
    assert first_refusal(tallies) == tallies[1]


def test_a_request_that_is_taken_is_not_told_to_retry_and_one_without_policy_nothing() -> None:
    assert "Retry-After" not in limit_fields([Tally(DEFAULT, True, 0, 12)])
    assert limit_fields([]) == {}
    assert first_refusal([]) is None


@pytest.mark.parametrize(
    ("seconds_left", "told"),
    [(60.0, 60), (59.2, 60), (0.01, 1), (0.0, 1), (-5.0, 1), (1.0, 1), (1.000_001, 2), (61.0, 60)],
)
def test_whole_seconds_are_told_so_that_whoever_waits_them_is_not_too_early(
    seconds_left: float, told: int
) -> None:
    """Retry-After is a whole number of seconds (RFC 9110 section 10.2.3): rounded up, within the window."""
    assert Tally.of(DEFAULT, False, 0, seconds_left).reset_seconds == told


def test_a_refusal_names_the_policy_and_when_to_try_again() -> None:
    refusal = TooManyRequests.told(Tally(DEFAULT, False, 0, 12))
    assert (refusal.policy, refusal.quota, refusal.window_seconds, refusal.retry_after_seconds) == (
        "default",
        100,
        60,
        12,
    )
    for told in ("100 requests", "60 seconds", "'default'", "12 s"):
        assert told in refusal.explain()


@pytest.mark.parametrize(
    ("name", "quota", "window_seconds"),
    [
        ("", 1, 1),
        ("Two words", 1, 1),
        ('quote"', 1, 1),
        ("a" * 32, 1, 1),
        ("é", 1, 1),
        ("default", 0, 1),
        ("default", -1, 1),
        ("default", 10**9 + 1, 1),
        ("default", 1, 0),
        ("default", 1, 86_401),
    ],
)
def test_a_policy_that_cannot_be_written_or_kept_is_not_made(
    name: str, quota: int, window_seconds: int
) -> None:
    with pytest.raises(ValueError, match=r"name|quota|window_seconds"):
        Policy(name, quota, window_seconds)


def test_a_key_may_ask_more_than_an_address_and_few_keys_are_refused() -> None:
    assert REFUSED_KEYS.quota < ADDRESS.quota < KEY.quota


@pytest.mark.parametrize(
    ("address", "counted"),
    [
        ("192.0.2.7", "192.0.2.7"),
        ("::ffff:192.0.2.7", "192.0.2.7"),
        ("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::/64"),
        ("2001:DB8:1:2::", "2001:db8:1:2::/64"),
        ("2001:db8:1:3::1", "2001:db8:1:3::/64"),
        ("fe80::1%eth0", "fe80::/64"),
        ("::1", "::/64"),
        (None, "none"),
        ("", "none"),
        ("/run/socket", "none"),
        ("192.0.2.7, 198.51.100.1", "none"),
    ],
)
def test_an_address_is_counted_by_the_network_that_one_subscriber_has(
    address: str | None, counted: str
) -> None:
    """Addresses for documentation: RFC 5737, RFC 3849; mapped ones: RFC 4291 section 2.5.5.2."""
    assert counted_address(address) == counted
