"""What a rule may refuse, told without a word of HTTP.

Rules raise frozen subclasses of `DomainError` that carry their fields. `api/problems.py` is the one
place that turns them into problem types; a test keeps the two in step.
"""

from collections.abc import Iterable

import attrs

SHOWN_VALUE_LENGTH = 80
"""Longest piece of a refused value that is echoed, in characters (our judgement)."""


def shown(value: object) -> str:
    """Return a refused value as text short and clean enough to echo.

    Control characters become spaces; what is longer than `SHOWN_VALUE_LENGTH` ends in an ellipsis.
    """
    text = value if isinstance(value, str) else repr(value)
    text = "".join(char if char.isprintable() else " " for char in text[: SHOWN_VALUE_LENGTH + 1])
    return text if len(text) <= SHOWN_VALUE_LENGTH else text[: SHOWN_VALUE_LENGTH - 1] + "…"


def pointer(path: Iterable[str | int]) -> str:
    """Return the JSON pointer (RFC 6901) of a path, as a fragment."""
    return "#" + "".join("/" + str(step).replace("~", "~0").replace("/", "~1") for step in path)


@attrs.frozen
class DomainError(Exception):
    """The root of everything that a rule refuses."""

    def explain(self) -> str:
        """Return one sentence that names what was wrong and what was expected."""
        raise NotImplementedError  # every subclass says it in its own words


@attrs.frozen
class CommandRefused(DomainError):
    """The root of what only the command line meets, before anything is served; never an answer."""


@attrs.frozen
class FieldFault:
    """One value that cannot be taken: where it stood, what it was, what was expected instead.

    `path` leads from the root of the input to the value (member names and list positions); `code` is
    a stable lower-case word for programs; `nearest` is the closest known name, where there is one.
    """

    path: tuple[str | int, ...]
    value: str
    expected: str
    code: str
    nearest: str | None = None

    def beneath(self, *prefix: str | int) -> "FieldFault":
        """Return the same fault with `prefix` put before its path."""
        return attrs.evolve(self, path=(*prefix, *self.path))


@attrs.frozen
class InvalidInput(DomainError):
    """One or more values cannot be taken; all are named at once."""

    faults: tuple[FieldFault, ...]

    @classmethod
    def of(cls, faults: Iterable[FieldFault]) -> "InvalidInput":
        """Collect faults (one at least) in the order found."""
        return cls(tuple(faults))

    def explain(self) -> str:
        """Return how many values need mending, and the first of them."""
        first = self.faults[0]
        place = "/".join(str(step) for step in first.path) or "the input"
        more = f" ({len(self.faults)} in all)" if len(self.faults) > 1 else ""
        return f"{place}: {first.value!r} cannot be taken; expected {first.expected}{more}."


@attrs.frozen
class UnknownCode(DomainError):
    """Nothing is known by this code, number or id. `nearest` is the closest known one, if any."""

    noun: str
    value: str
    nearest: str | None = None

    def explain(self) -> str:
        """Return what was looked for and the nearest known name."""
        hint = f" The nearest known one is {self.nearest!r}." if self.nearest else ""
        return f"No {self.noun} is known as {shown(self.value)!r}.{hint}"
