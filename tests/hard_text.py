"""Texts that people could type, and that break a careless screen."""

HARD = [
    "",
    "kale Sedge Blue",
    "[b]bold[/b] [/] [/oops] [@click=app.quit]click[/]",
    "番茄 🍅🍅 tomate",
    "e\u0301" * 40,
    "Z" + "\u0335" * 300 + "algo",
    "x" * 500,
    "🍅" * 500,
    "👩‍🌾 grower ❤️ 🇩🇪",
]
