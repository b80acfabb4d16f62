"""What the plumbing itself refuses, before any rule is asked."""

import attrs

from api.errors import DomainError


@attrs.frozen
class UnreadableBody(DomainError):
    """The body is not the JSON it says it is."""

    reason: str

    def explain(self) -> str:
        """Say what is wrong with the text."""
        return f"The body cannot be read: {self.reason}."


@attrs.frozen
class BodyTooLarge(DomainError):
    """The body is larger than the setting allows."""

    limit: int

    def explain(self) -> str:
        """Name the limit in bytes."""
        return f"The body is larger than {self.limit} bytes."


@attrs.frozen
class MediaTypeNotTaken(DomainError):
    """The body comes in a form that this path does not take."""

    found: str
    expected: str = "application/json"

    def explain(self) -> str:
        """Name what was found and what is taken."""
        return f"The body came as {self.found!r}; expected {self.expected}."


@attrs.frozen
class PathNotKnown(DomainError):
    """No path of the service is meant."""

    path: str

    def explain(self) -> str:
        """Name the path."""
        return f"There is nothing at {self.path!r}; /openapi.json lists what there is."


@attrs.frozen
class MethodNotOffered(DomainError):
    """The path is known, the method is not one of its own."""

    method: str
    offered: tuple[str, ...]

    def explain(self) -> str:
        """Name what the path takes."""
        return f"This path does not take {self.method}; it takes {', '.join(self.offered)}."


@attrs.frozen
class HostNotServed(DomainError):
    """The request names a host that is not in the setting."""

    host: str

    def explain(self) -> str:
        """Say how hosts are allowed."""
        return f"The host {self.host!r} is not served here; STARTWRIGHT_ALLOWED_HOSTS names those that are."


@attrs.frozen
class NotReady(DomainError):
    """The service runs, but cannot answer yet."""

    reason: str

    def explain(self) -> str:
        """Say what is missing."""
        return f"Not ready: {self.reason}."


@attrs.frozen
class InternalFault(DomainError):
    """Something failed that should not have; the log knows more, the answer does not."""

    def explain(self) -> str:
        """Say nothing of what happened inside."""
        return "The request could not be answered. The log holds the details under this request's id."
