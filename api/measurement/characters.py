"""The many characters a keyboard, a phone or a data sheet puts into a measurement, made plain.

Compatibility normalisation of the whole text would be wrong twice over: it turns `1½` into `11⁄2`
and `12²` into `122`. So each character is treated by what it is.
"""

import unicodedata

from api.measurement.refusals import RefusedValue

LONGEST_TEXT = 40
"""Most characters of a measurement's text; longer ones are refused before anything is converted."""

_MEANT = {
    **dict.fromkeys("‐‑‒–—−﹣", "-"),
    **dict.fromkeys("⁄∕", "/"),
    **dict.fromkeys("″“”〃", '"'),
    **dict.fromkeys("′‘’", "'"),
    "µ": "u",  # micro sign
    "μ": "u",  # Greek mu
}
_UNFOLDED = ("<wide>", "<narrow>", "<square>")


def plain(text: str, refusal: type[RefusedValue], expected: str) -> str:
    """Return `text` in plain characters, spaces collapsed and trimmed.

    Full-width forms and squared units unfold, vulgar fractions become ` n/d ` set apart by spaces,
    dashes, slashes, primes and quotation marks become their ASCII kin, both micro signs become `u`.

    Takes at most `LONGEST_TEXT` characters. Raises `refusal` with code `empty`, `too_long` or
    `control_character` (also for invisible formatting characters and lone surrogates).
    """
    if len(text) > LONGEST_TEXT:
        raise refusal.because(text, f"{expected}, at most {LONGEST_TEXT} characters", "too_long")
    trimmed = text.strip()
    if not trimmed:
        raise refusal.because(text, expected, "empty")
    if trimmed.isascii() and trimmed.isprintable():
        return " ".join(trimmed.split())
    if any(unicodedata.category(char) in {"Cc", "Cf", "Cs"} for char in trimmed):
        raise refusal.because(text, f"{expected}, without control characters", "control_character")
    return " ".join("".join(_plain_character(char) for char in trimmed).split())


def _plain_character(char: str) -> str:
    if char in _MEANT:
        return _MEANT[char]
    kind, *parts = unicodedata.decomposition(char).split() or [""]
    unfolded = "".join(chr(int(part, 16)) for part in parts) if kind.startswith("<") else ""
    if kind == "<fraction>":
        return f" {unfolded} ".replace("⁄", "/").replace("/ ", "/")
    if kind in _UNFOLDED:
        return "".join(_plain_character(part) for part in unfolded)
    return char
