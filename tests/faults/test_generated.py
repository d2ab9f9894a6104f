"""Bad rows and keys by chance, a few of them; `python -m tests.faults.long` makes ten thousand of each."""

from pathlib import Path

import pytest
from hypothesis import given, settings

from tests.faults.fingers import SEQUENCES, Typed, type_all
from tests.faults.rows import MANGLES, Change, st, take_in


@settings(max_examples=150, deadline=None, derandomize=True)
@given(changes=st.lists(MANGLES, min_size=1, max_size=3))
def test_mangled_files_are_taken_whole_or_refused_never_half(
    tmp_path_factory: pytest.TempPathFactory, changes: list[Change]
) -> None:
    take_in(tmp_path_factory.mktemp("mangled"), changes)


@pytest.mark.long
@settings(max_examples=5, deadline=None, derandomize=True)
@given(typing=SEQUENCES)
def test_whatever_is_typed_the_program_goes_on_and_loses_nothing(
    tmp_path_factory: pytest.TempPathFactory, typing: list[list[str]]
) -> None:
    path: Path = tmp_path_factory.mktemp("typed") / "farm.db"
    type_all(path, typing, Typed())
