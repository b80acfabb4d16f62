"""Many texts in their order as one array of bytes, which may be mapped from a file. Pure."""

from collections.abc import Sequence
from typing import Any

import attrs
import numpy as np
from numpy.typing import NDArray


@attrs.frozen(eq=False)
class TextColumn:
    """Texts in ascending order of their code points: text r ends before byte `ends[r]`."""

    ends: NDArray[np.int64]
    utf8: NDArray[np.uint8]

    @classmethod
    def of(cls, texts: Sequence[str]) -> "TextColumn":
        """Return texts that stand in order as one column."""
        encoded = [text.encode() for text in texts]
        ends = np.cumsum([len(one) for one in encoded], dtype=np.int64)
        return cls(ends, np.frombuffer(b"".join(encoded), dtype=np.uint8))

    def __len__(self) -> int:
        return len(self.ends)

    def at(self, place: int) -> str:
        """Return the text at a place."""
        first = int(self.ends[place - 1]) if place else 0
        return bytes(self.utf8[first : int(self.ends[place])]).decode()

    def at_all(self, places: NDArray[np.integer[Any]]) -> list[str]:
        """Return the texts at some places."""
        first = np.where(places > 0, self.ends[places - 1], 0).tolist()
        bytes_of = self.utf8.data
        return [
            str(bytes_of[begin:end], "utf-8")
            for begin, end in zip(first, self.ends[places].tolist(), strict=True)
        ]

    def place_of(self, text: str) -> int:
        """Return how many texts come before `text`."""
        low, high = 0, len(self)
        while low < high:
            middle = (low + high) // 2
            if self.at(middle) < text:
                low = middle + 1
            else:
                high = middle
        return low
