"""The README's examples: what it asks, and whether the answer it shows is still the service's."""

import json
import re
from decimal import Decimal
from pathlib import Path
from typing import Any

README = Path(__file__).parents[2] / "README.md"


def readme_example(heading: str) -> tuple[str, Any, Any]:
    """Return the text beneath a heading, the first body that it posts and the answer that it shows."""
    text = README.read_text("utf-8").split(f"### {heading}\n")[1]
    text = re.split(r"^##+ ", text, flags=re.MULTILINE)[0]
    body = re.search(r"-d '(.*?)'\n```", text, re.DOTALL)
    told = re.search(r"```json\n(.*?)```", text, re.DOTALL)
    assert body
    assert told
    return text, json.loads(body[1]), json.loads(told[1], parse_float=Decimal)


def is_shortened(shortened: Any, found: Any) -> bool:
    """Return whether every figure and word that a shortened answer tells is found, to the last digit printed.

    Members and items may be left out, in their order; texts may end in an ellipsis.
    """
    if isinstance(shortened, dict):
        return all(name in found and is_shortened(told, found[name]) for name, told in shortened.items())
    if isinstance(shortened, list):
        left = iter(found)
        return all(any(is_shortened(told, one) for one in left) for told in shortened)
    if isinstance(shortened, Decimal):
        printed = -int(shortened.as_tuple().exponent)
        return isinstance(found, float) and round(Decimal(found), printed) == shortened
    if isinstance(shortened, str) and shortened.endswith("…"):
        return str(found).startswith(shortened[:-1])
    return bool(found == shortened)
