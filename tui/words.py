"""Signs and words of state. A word says it, a sign repeats it; colour only comes third.

Every sign is one terminal column wide and has a twin in plain ASCII, so that a poor terminal, a paper copy
and a black-and-white screen say the same as a good one.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from model.rules.verdict import CALL, HANDS_OFF, SICK, Risk, Today

TODAY_WORDS: Mapping[Today, str] = {
    Today.UNSEEN: "unseen",
    Today.LOOKED: "looked",
    Today.LEFT: "left",
    Today.WATERED: "watered",
}

RISK_WORDS: Mapping[Risk, str] = {
    Risk.ROOM: "room",
    Risk.WATCH: "watch",
    Risk.ACT: "act",
    Risk.UNKNOWN: "not known",
}

FLAG_WORDS: Mapping[str, str] = {
    CALL: "call",
    HANDS_OFF: "spray",
    SICK: "sick",
    "never up": "never",
    "late up": "late",
    "too warm": "warm",
    "past": "past",
}
"""The short word of a flag by how the flag begins, the most pressing first."""


@dataclass(frozen=True, slots=True)
class Signs:
    """One set of signs. Widgets are given a set and never ask which terminal they are on."""

    unseen: str
    looked: str
    left: str
    watered: str
    solid: str
    """Fill that is there even at the low end of the band."""
    dense: str
    """Fill up to the expected value."""
    light: str
    """Fill up to the high end of the band."""
    empty: str
    mark: str
    """Where ready, full and root-bound stand in the empty part of a bar."""
    cursor: str
    done: str
    more: str
    """Stands where text was cut."""
    apart: str
    """Between two numbers that belong together."""
    rule: str
    strong_rule: str
    """A stretch of an axis that means something: the ready window."""
    upright: str
    beside: str
    """Today on a curve."""
    tee: str
    """A mark on the scale over the bars."""
    left_end: str
    right_end: str
    open_end: str
    """A window that stays open."""
    dash: str
    """A mark that runs all across a curve."""
    line: str
    """A curve up to today, where there are no quarter blocks."""
    line_ahead: str
    """A curve from today on, where there are no quarter blocks."""
    below: str
    """There is more further down."""
    above: str
    band: str
    """The 80 % band of a curve."""
    quarters: str
    """The sixteen quarter blocks, four dots to a cell: left and right above, then below; "" for none."""

    def today(self, state: Today) -> str:
        """The sign of what was done at a tray today."""
        return (self.unseen, self.looked, self.left, self.watered)[state]

    def today_word(self, state: Today) -> str:
        """Sign and word together: "○ unseen"."""
        return f"{self.today(state)} {TODAY_WORDS[state]}"


UNICODE = Signs(
    unseen="○",
    looked="◐",
    left="◇",
    watered="●",
    solid="█",
    dense="▓",
    light="▒",
    empty="·",
    mark="╎",
    cursor="›",
    done="✓",
    more="…",
    apart="·",
    rule="─",
    strong_rule="━",
    upright="╎",
    beside="·",
    tee="┴",
    left_end="└",
    right_end="┘",
    open_end="→",
    dash="┄",
    line="•",
    line_ahead="∘",
    below="▼",
    above="▲",
    band="░",
    quarters=" ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█",
)

ASCII = Signs(
    unseen="?",
    looked="l",
    left="-",
    watered="w",
    solid="#",
    dense="+",
    light="-",
    empty=".",
    mark=":",
    cursor=">",
    done="v",
    more="~",
    apart="/",
    rule="-",
    strong_rule="=",
    upright="|",
    beside=":",
    tee="+",
    left_end="+",
    right_end="+",
    open_end=">",
    dash="-",
    line="*",
    line_ahead="o",
    below="v",
    above="^",
    band=":",
    quarters="",
)
