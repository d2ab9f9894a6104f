"""Text reads against every ground, and colours that mean something stay apart."""

from itertools import combinations

import pytest
from textual.theme import Theme

from tui.themes import DARK, LIGHT, themes, token_defaults

LEAST_CONTRAST = 4.5
"""WCAG 2.1, success criterion 1.4.3, text of usual size."""
LEAST_BLOCK = 3.0
"""WCAG 2.1, success criterion 1.4.11, shapes that carry a meaning."""
MEANINGS = ("ready", "crowding", "thirst", "cold", "note")
"""Colours that mean something."""
GROUNDS = ("ground", "raised", "cursor")
"""Colours that text stands on."""
TEXTS = ("ink", "quiet", *MEANINGS)
"""Colours of text."""
LEAST_APART = 14.0
"""CIE 1976 colour difference; about 2.3 can just be seen side by side."""
LEAST_GREY_APART = 10.0
"""Difference in CIE lightness between a bar that is ready and one that is crowding."""

# Machado, Oliveira and Fernandes (2009), severity 1.0, on linear RGB.
SIGHTS = {
    "usual": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    "no red": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "no green": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "no blue": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}

Triple = tuple[float, float, float]


def linear(colour: str) -> Triple:
    """Linear RGB of "#rrggbb"."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return red, green, blue


def contrast(one: str, other: str) -> float:
    """WCAG contrast ratio."""
    lights = sorted(
        sum(w * p for w, p in zip((0.2126, 0.7152, 0.0722), linear(c), strict=True)) for c in (one, other)
    )
    return (lights[1] + 0.05) / (lights[0] + 0.05)


def lab(colour: Triple) -> Triple:
    """CIE L*a*b* under D65."""
    red, green, blue = (max(0.0, min(1.0, part)) for part in colour)
    x = (0.4124 * red + 0.3576 * green + 0.1805 * blue) / 0.95047
    y = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    z = (0.0193 * red + 0.1192 * green + 0.9505 * blue) / 1.08883
    fx, fy, fz = (t ** (1 / 3) if t > 0.008856 else 7.787 * t + 16 / 116 for t in (x, y, z))
    return 116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)


def seen(colour: str, sight: str) -> Triple:
    """The colour as somebody with this sight sees it."""
    red, green, blue = (sum(w * p for w, p in zip(row, linear(colour), strict=True)) for row in SIGHTS[sight])
    return lab((red, green, blue))


@pytest.fixture(params=themes(), ids=lambda theme: theme.name)
def theme(request: pytest.FixtureRequest) -> Theme:
    return request.param


def test_the_measure_itself_is_right() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)


@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("text", TEXTS)
def test_text_reads_against_every_ground(theme: Theme, text: str, ground: str) -> None:
    assert contrast(theme.variables[text], theme.variables[ground]) >= LEAST_CONTRAST


@pytest.mark.parametrize("sight", SIGHTS)
def test_meanings_stay_apart_in_every_sight(theme: Theme, sight: str) -> None:
    for one, other in combinations(MEANINGS, 2):
        pair = zip(seen(theme.variables[one], sight), seen(theme.variables[other], sight), strict=True)
        assert sum((a - b) ** 2 for a, b in pair) ** 0.5 >= LEAST_APART, f"{one} and {other}"


def test_ready_and_crowding_stay_apart_in_grey(theme: Theme) -> None:
    ready, crowding = (lab(linear(theme.variables[name]))[0] for name in ("ready", "crowding"))
    assert abs(ready - crowding) >= LEAST_GREY_APART


def test_the_stock_colours_read_too(theme: Theme) -> None:
    assert theme.foreground
    assert theme.background
    assert theme.panel
    assert contrast(theme.foreground, theme.background) >= LEAST_CONTRAST
    assert contrast(theme.foreground, theme.panel) >= LEAST_CONTRAST
    for name in (theme.primary, theme.warning, theme.error, theme.success, theme.accent):
        assert name
        assert contrast(name, theme.background) >= LEAST_BLOCK


def test_both_themes_name_the_same_colours() -> None:
    dark, light = themes()
    assert (dark.name, light.name) == (DARK, LIGHT)
    assert dark.variables.keys() == light.variables.keys()
    assert token_defaults().keys() <= dark.variables.keys()
