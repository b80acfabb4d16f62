"""Where the files that travel with the package are: migrations, seed catalogue, contract.

In a checkout and an editable install they stand beside the package; a wheel carries them beneath it.
"""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def travelling(name: str) -> Path:
    """Return the folder `name` ("migrations", "seed_catalog", "openapi") that belongs to this package.

    Raises `FileNotFoundError` when neither place has it, which only a broken install can cause.
    """
    for place in (_PACKAGE / "_travelling" / name, _PACKAGE.parent / name):
        if place.is_dir():
            return place
    raise FileNotFoundError(f"the folder {name!r} that belongs to this package is missing; install it again")
