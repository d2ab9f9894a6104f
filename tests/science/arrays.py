"""What must hold of every function of numbers that takes arrays too: ends of ranges, arrays, what isn't known."""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from model.errors import BadInput

Function = Callable[..., Any]


def holds_its_range(function: Function, inputs: tuple[float, ...], at: int, low: float, high: float) -> None:
    """The ends of one input's range are taken, and what lies just beyond is refused."""
    for end, beyond in ((low, low - 1e-3), (high, high + 1e-3)):
        assert math.isfinite(function(*inputs[:at], end, *inputs[at + 1 :]))
        with pytest.raises(BadInput):
            function(*inputs[:at], beyond, *inputs[at + 1 :])


def gives_as_array_what_its_numbers_give(
    function: Function,
    inputs: tuple[float, ...],
    steps: tuple[float, ...] = (1.0, 0.9, 0.8),
    rel: float = 0.0,
) -> None:
    """Some numbers at once give what each gives alone, to the digit unless told, and a number gives a float."""
    columns = [np.array([value * step for step in steps]) for value in inputs]
    rows = [function(*row) for row in zip(*columns, strict=True)]
    assert function(*columns).tolist() == pytest.approx(rows, rel=rel, abs=0.0)
    assert all(isinstance(row, float) for row in rows)


def gives_nan_for_nan(function: Function, inputs: tuple[float, ...]) -> None:
    """What isn't known of any one input makes the answer unknown."""
    for at in range(len(inputs)):
        assert math.isnan(function(*(math.nan if here == at else value for here, value in enumerate(inputs))))
