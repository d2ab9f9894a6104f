"""Two themes of our own, dark as wet mix and light as a paper label, with colours named after what they mean.

A colour never says anything alone: it repeats what a word or a sign in the same place already said.
Every text colour reaches 4.5:1 against ground, raised and cursor, so a cursor row reads as well as any other.
"""

from collections.abc import Mapping

from textual.theme import Theme

DARK = "trayround-dark"
LIGHT = "trayround-light"

DARK_TOKENS: Mapping[str, str] = {
    "ground": "#1a1612",
    "raised": "#28211a",
    "cursor": "#4a3a27",
    "rule": "#6f614d",
    "ink": "#f3e9d6",
    "quiet": "#b8a990",
    "ready": "#8fdcae",
    "crowding": "#f58f58",
    "thirst": "#f0dc82",
    "cold": "#84b2f2",
    "note": "#efb0d2",
}

LIGHT_TOKENS: Mapping[str, str] = {
    "ground": "#f7f1e3",
    "raised": "#ece2cd",
    "cursor": "#e4d3ac",
    "rule": "#a39477",
    "ink": "#231b11",
    "quiet": "#5d5140",
    "ready": "#12643f",
    "crowding": "#7d0f1c",
    "thirst": "#715800",
    "cold": "#0f3676",
    "note": "#95306f",
}


def themes() -> tuple[Theme, Theme]:
    """The dark and the light theme, ready to register."""
    return a_theme(DARK, DARK_TOKENS, dark=True), a_theme(LIGHT, LIGHT_TOKENS, dark=False)


def a_theme(name: str, tokens: Mapping[str, str], *, dark: bool) -> Theme:
    """A theme whose stock colours are our tokens too, so that every ready-made widget speaks the same way."""
    return Theme(
        name=name,
        primary=tokens["ready"],
        secondary=tokens["quiet"],
        accent=tokens["thirst"],
        warning=tokens["thirst"],
        error=tokens["crowding"],
        success=tokens["ready"],
        foreground=tokens["ink"],
        background=tokens["ground"],
        surface=tokens["ground"],
        panel=tokens["raised"],
        boost=tokens["raised"],
        dark=dark,
        variables={**tokens, **stock_variables(tokens)},
    )


def stock_variables(tokens: Mapping[str, str]) -> dict[str, str]:
    """The variables that ready-made widgets ask for, said in our tokens."""
    return {
        "text": tokens["ink"],
        "text-muted": tokens["quiet"],
        "border": tokens["quiet"],
        "border-blurred": tokens["rule"],
        "block-cursor-foreground": tokens["ink"],
        "block-cursor-background": tokens["cursor"],
        "block-cursor-text-style": "bold",
        "block-cursor-blurred-foreground": tokens["ink"],
        "block-cursor-blurred-background": tokens["raised"],
        "block-hover-background": tokens["raised"],
        "footer-foreground": tokens["quiet"],
        "footer-background": tokens["ground"],
        "footer-key-foreground": tokens["ink"],
        "footer-key-background": tokens["ground"],
        "footer-description-foreground": tokens["quiet"],
        "footer-description-background": tokens["ground"],
        "footer-item-background": tokens["ground"],
        "input-cursor-foreground": tokens["ground"],
        "input-cursor-background": tokens["ink"],
        "input-selection-background": tokens["cursor"],
        "input-selection-foreground": tokens["ink"],
        "scrollbar": tokens["rule"],
        "scrollbar-hover": tokens["quiet"],
        "scrollbar-active": tokens["quiet"],
        "scrollbar-background": tokens["ground"],
        "scrollbar-background-hover": tokens["ground"],
        "scrollbar-background-active": tokens["ground"],
        "scrollbar-corner-color": tokens["ground"],
        "button-foreground": tokens["ink"],
        "screen-selection-background": tokens["cursor"],
        "screen-selection-foreground": tokens["ink"],
    }


def token_defaults() -> dict[str, str]:
    """Our tokens for themes that don't know them; an app hands these on as its theme variable defaults."""
    return dict(DARK_TOKENS)
