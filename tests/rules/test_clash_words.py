"""What is said of two decisions of one clash."""

import pytest

from model.rules.clash_words import both_decided, decision

TOLD = "more than there was: 1R, set out 50 in bed 3 by Wren, handed over 30 to plot 4 by Jory"


@pytest.mark.parametrize(
    ("wrens", "said"),
    [
        ("the later in its place", (f"decided by both, the later in its place: {TOLD}", False)),
        (
            "the first counts",
            (
                f"decided in two ways: {TOLD}; Jory's, the later, holds: the later in its place; "
                "Wren's was: the first counts",
                True,
            ),
        ),
    ],
    ids=["the same", "two ways"],
)
def test_two_decisions_are_told_with_whether_they_differ(wrens: str, said: tuple[str, bool]) -> None:
    told = f"{TOLD}; not counted: handed over 30 by Jory"
    lost, holds = decision(wrens, told), decision("the later in its place", told)
    assert both_decided(("Wren", lost), ("Jory", holds)) == said
