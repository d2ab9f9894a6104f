"""What is tried of many alike: a few every day, all of them in .ci/run."""

from collections.abc import Iterable
from typing import Any

import pytest


def some(values: Iterable[Any], few: int) -> list[Any]:
    """Parameters of which all but the first few are marked long."""
    return [
        value if place < few else pytest.param(value, marks=pytest.mark.long)
        for place, value in enumerate(values)
    ]
