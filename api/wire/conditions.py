"""Conditions of a request: entity tags that must or must not match, in the order of RFC 9110 13.2.2. Pure."""

import re
from typing import Final, Literal

import attrs

from api.errors import DomainError, shown

_TAG: Final = re.compile(r'(?P<weak>W/)?"(?P<value>[\x21\x23-\x7e\x80-\uffff]*)"')
_ONE: Final = _TAG.pattern.replace("?P<weak>", "?:").replace("?P<value>", "?:")
_LIST: Final = re.compile(rf"[ \t]*(?:,[ \t]*)*{_ONE}(?:[ \t]*,(?:[ \t]*{_ONE})?)*[ \t]*")
"""A list as RFC 9110 5.6.1.2 has readers take it: empty elements are passed over."""
LONGEST: Final = 10_000
"""Longest field of entity tags, in characters (our judgement)."""


@attrs.frozen
class HeaderRefused(DomainError):
    """A header field that cannot be read."""

    header: str
    value: str
    expected: str

    def explain(self) -> str:
        """Name the field, what it held and what was expected."""
        return f"The header {self.header} holds {shown(self.value)!r}; expected {self.expected}."


@attrs.frozen
class PreconditionRequired(DomainError):
    """A change of a stored thing that does not say which state of it it is meant for."""

    def explain(self) -> str:
        """Say what to send."""
        return (
            "A change names the state that it is meant for: send the ETag of what you read as If-Match, "
            "so that no change between is lost."
        )


@attrs.frozen
class PreconditionFailed(DomainError):
    """The stored thing is not (or no longer) in the state that the request is meant for."""

    header: str
    current: str

    def explain(self) -> str:
        """Name the condition and the current tag."""
        return (
            f"The condition {self.header} does not hold: it was changed since, or the tag is not one of it. "
            f"Its present tag is {self.current}; read it again and repeat the change."
        )


@attrs.frozen
class Tags:
    """The entity tags of one header field; `everything` is `*`."""

    everything: bool = False
    strong: tuple[str, ...] = ()
    weak: tuple[str, ...] = ()

    def matches(self, tag: str, comparison: Literal["strong", "weak"]) -> bool:
        """Tell whether a strong tag (with its quotes) is among them, by RFC 9110 8.8.3.2."""
        if self.everything:
            return True
        return tag in self.strong or (comparison == "weak" and tag in self.weak)

    def names_state(self, tag: str, comparison: Literal["strong", "weak"]) -> bool:
        """Tell whether one of them is of the state that `tag` is of: it is the same up to its dot, if any."""
        named = Tags(self.everything, *(tuple(map(_state, tags)) for tags in (self.strong, self.weak)))
        return named.matches(_state(tag), comparison)


def read_tags(header: str, text: str) -> Tags:
    """Read a list of entity tags, or `*`. Raises `HeaderRefused` for anything else."""
    if text.strip() == "*":
        return Tags(everything=True)
    if len(text) > LONGEST or _LIST.fullmatch(text) is None:
        raise HeaderRefused(header, text, 'entity tags such as "5f2c…", separated by commas, or *')
    found = [(one["weak"], f'"{one["value"]}"') for one in _TAG.finditer(text)]
    return Tags(
        strong=tuple(tag for weak, tag in found if not weak), weak=tuple(tag for weak, tag in found if weak)
    )


def _state(tag: str) -> str:
    """Return the half of a tag that stands for a thing's own state, or all of a tag of one piece."""
    state, dot, _ = tag.partition(".")
    return f'{state}."' if dot else tag


def check_conditions(tag: str, if_match: str | None, if_none_match: str | None) -> None:
    """Raise unless a change of what has the strong tag `tag` may go on; the state in tags is compared.

    `If-Match` comes first and compares strongly (a weak tag never matches): 412. Then `If-None-Match`,
    weakly: 412. Where neither is given: `PreconditionRequired` (428, RFC 6585).
    """
    if if_match is not None and not read_tags("If-Match", if_match).names_state(tag, "strong"):
        raise PreconditionFailed("If-Match", tag)
    if if_none_match is not None and read_tags("If-None-Match", if_none_match).names_state(tag, "weak"):
        raise PreconditionFailed("If-None-Match", tag)
    if if_match is None:
        raise PreconditionRequired


def is_unchanged(tag: str, if_match: str | None, if_none_match: str | None) -> bool:
    """Tell whether a reader already has what has the strong tag `tag`: 304.

    `If-Match` comes before it, and raises `PreconditionFailed` where it does not hold.
    """
    if if_match is not None and not read_tags("If-Match", if_match).matches(tag, "strong"):
        raise PreconditionFailed("If-Match", tag)
    return if_none_match is not None and read_tags("If-None-Match", if_none_match).matches(tag, "weak")
