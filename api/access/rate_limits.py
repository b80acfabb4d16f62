"""How many requests are taken from whom in how long, and how an answer says so.

The fields are those of draft-ietf-httpapi-ratelimit-headers-10, written as structured fields (RFC 9651):
`RateLimit-Policy: "default";q=100;w=60` and `RateLimit: "default";r=50;t=30`.
"""

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache
from ipaddress import IPv6Address, ip_address
from math import ceil
from typing import Final

import attrs
import http_sf
from http_sf.types import ListType, ParamsType

from api.errors import DomainError

POLICY_FIELD: Final = "RateLimit-Policy"
STATE_FIELD: Final = "RateLimit"
RETRY_FIELD: Final = "Retry-After"

_NAME: Final = re.compile(r"[a-z][a-z-]{0,30}")
_NETWORK_BITS: Final = 64
"""The other 64 bits of an IPv6 address are the interface's to choose (RFC 4291 section 2.5.1)."""


@attrs.frozen
class Policy:
    """At most `quota` requests in `window_seconds`, counted for each one alone.

    The window of each one opens with his first request and is closed `window_seconds` later, so that up
    to twice the quota may pass around its end.
    """

    name: str = attrs.field(validator=attrs.validators.matches_re(_NAME))
    quota: int = attrs.field(validator=[attrs.validators.ge(1), attrs.validators.le(1_000_000_000)])
    window_seconds: int = attrs.field(validator=[attrs.validators.ge(1), attrs.validators.le(86_400)])


ADDRESS: Final = Policy("address", 1_200, 60)
"""Requests without a key from one address: 20 a second, more than a browser asks for (our judgement)."""
KEY: Final = Policy("key", 6_000, 60)
"""Requests with one key: 100 a second for shop software that matches in bulk (our judgement)."""
REFUSED_KEYS: Final = Policy("refused-keys", 30, 60)
"""Keys refused from one address: enough for a script with an old key (our judgement)."""


@attrs.frozen
class Tally:
    """What a policy says of one request: whether it is taken, how many are left, when all are back."""

    policy: Policy
    allowed: bool
    remaining: int
    reset_seconds: int

    @classmethod
    def of(cls, policy: Policy, allowed: bool, remaining: int, seconds_left: float) -> "Tally":
        """Tell of a window that is open for `seconds_left` more; whole seconds, 1 at least."""
        reset = min(policy.window_seconds, max(1, ceil(seconds_left)))
        return cls(policy, allowed, remaining, reset)

    @classmethod
    def uncounted(cls, policy: Policy) -> "Tally":
        """Take a request that could not be counted."""
        return cls(policy, allowed=True, remaining=policy.quota, reset_seconds=policy.window_seconds)


@attrs.frozen
class TooManyRequests(DomainError):
    """More requests came than a policy takes."""

    policy: str
    quota: int
    window_seconds: int
    retry_after_seconds: int

    @classmethod
    def told(cls, tally: Tally) -> "TooManyRequests":
        """Say what a tally refused."""
        policy = tally.policy
        return cls(policy.name, policy.quota, policy.window_seconds, tally.reset_seconds)

    def explain(self) -> str:
        """Say how many are taken in how long, and when to try again."""
        return (
            f"More than {self.quota} requests in {self.window_seconds} seconds (policy {self.policy!r}); "
            f"try again in {self.retry_after_seconds} s."
        )


def first_refusal(tallies: Sequence[Tally]) -> Tally | None:
    """Return the refusing tally that lasts longest, or nothing where every policy takes the request."""
    refusing = [tally for tally in tallies if not tally.allowed]
    return max(refusing, key=lambda tally: tally.reset_seconds, default=None)


def limit_fields(tallies: Sequence[Tally]) -> dict[str, str]:
    """Return the fields of an answer to a request that these policies counted; none without a policy.

    `Retry-After` (RFC 9110 section 10.2.3) stands there where the request is refused.
    """
    if not tallies:
        return {}
    fields = {
        POLICY_FIELD: _policies_text(tuple(tally.policy for tally in tallies)),
        STATE_FIELD: _written(
            (tally.policy.name, {"r": tally.remaining, "t": tally.reset_seconds}) for tally in tallies
        ),
    }
    refusal = first_refusal(tallies)
    if refusal is not None:
        fields[RETRY_FIELD] = str(refusal.reset_seconds)
    return fields


@lru_cache(maxsize=64)
def _policies_text(policies: tuple[Policy, ...]) -> str:
    return _written((policy.name, {"q": policy.quota, "w": policy.window_seconds}) for policy in policies)


def _written(items: Iterable[tuple[str, ParamsType]]) -> str:
    """Write a list of strings with whole-number parameters as a structured field."""
    members: ListType = list(items)
    return http_sf.ser(members)


def counted_address(address: str | None) -> str:
    """Return what an address is counted under: an IPv4 address itself, of an IPv6 address its network.

    An IPv4 address that is written as an IPv6 one counts as itself. All that is no address (a socket of
    the file system has none) is counted as one.
    """
    try:
        found = ip_address((address or "").partition("%")[0])
    except ValueError:
        return "none"
    if not isinstance(found, IPv6Address):
        return str(found)
    if found.ipv4_mapped is not None:
        return str(found.ipv4_mapped)
    low = IPv6Address(int(found) >> _NETWORK_BITS << _NETWORK_BITS)
    return f"{low}/{_NETWORK_BITS}"
