"""The register of everything a person can do: the keys, the key line, the palette, the help and README read it."""

from dataclasses import dataclass

from textual.binding import Binding, BindingType

ROUND, FIRST, TRAY, READINGS = "round", "first", "tray", "readings"
PLAN, MAT, GATE, FROST, TONIGHT, COLD, STOCK = "plan", "mat", "gate", "frost", "tonight", "cold", "stock"
COVER, PAPER, ENTRIES, CLASHES = "cover", "paper", "entries", "clashes"
PROMISES, HEALTH = "promises", "health"
SEASON, CROP_SEASON, FOUND = "season", "crop season", "found"
HELPER = "helper"
"""The round of somebody who stands in."""
PAGES = frozenset(
    {
        PLAN,
        MAT,
        GATE,
        FROST,
        TONIGHT,
        COLD,
        STOCK,
        COVER,
        PAPER,
        ENTRIES,
        CLASHES,
        PROMISES,
        HEALTH,
        SEASON,
        CROP_SEASON,
        FOUND,
    }
)
"""Pages that answer one question each."""
LOOKS_BACK = frozenset({SEASON, CROP_SEASON})
"""The season, and the page of one crop."""
AT_TRAY = frozenset({ROUND, FIRST, TRAY})
"""Screens on which one tray is under the hand."""
ONE_TRAY = "one tray"
"""The group of what is done to the tray under the hand."""


@dataclass(frozen=True, slots=True)
class Command:
    """One thing to do: its action is `action_<id>` of the screen."""

    id: str
    key: str
    label: str
    help: str
    where: frozenset[str]
    group: str
    on_line: str = ""
    """Its word in the key line at the foot of the screen; empty where it doesn't stand there."""


def _tray(id: str, key: str, label: str, help: str, *, on_line: str = "") -> Command:
    return Command(id, key, label, help, AT_TRAY, ONE_TRAY, on_line)


def _helped(id: str, key: str, label: str, help: str, *, on_line: str = "") -> Command:
    return Command(id, key, label, help, AT_TRAY | {HELPER}, ONE_TRAY, on_line)


def _place(id: str, key: str, label: str, help: str, *, on_line: str = "") -> Command:
    return Command(id, key, label, help, frozenset({ROUND}), "a whole place", on_line)


def _all(id: str, key: str, label: str, help: str, *, on_line: str = "") -> Command:
    return Command(id, key, label, help, AT_TRAY, "everywhere", on_line)


def _any(id: str, key: str, label: str, help: str, *, on_line: str = "") -> Command:
    return Command(id, key, label, help, AT_TRAY | PAGES | {READINGS}, "everywhere", on_line)


def _ever(id: str, key: str, label: str, help: str, *, on_line: str = "") -> Command:
    return Command(id, key, label, help, AT_TRAY | PAGES | {READINGS, HELPER}, "everywhere", on_line)


def _page(id: str, key: str, label: str, help: str) -> Command:
    return Command(id, key, label, help, AT_TRAY | PAGES, "what lies ahead")


def _of_plan(id: str, key: str, label: str, help: str, on_line: str) -> Command:
    return Command(id, key, label, help, frozenset({PLAN}), "the plan", on_line)


def _of_stock(id: str, key: str, label: str, help: str) -> Command:
    return Command(id, key, label, help, frozenset({STOCK}), "the store", label)


def _of_clashes(id: str, key: str, label: str, help: str) -> Command:
    return Command(id, key, label, help, frozenset({CLASHES}), "two copies", label)


def _of_promises(id: str, key: str, label: str, help: str, on_line: str) -> Command:
    return Command(id, key, label, help, frozenset({PROMISES}), "promises", on_line)


def _of_season(
    id: str, key: str, label: str, help: str, on_line: str, where: frozenset[str] = LOOKS_BACK
) -> Command:
    return Command(id, key, label, help, where, "the season", on_line)


def _of_paper(id: str, key: str, label: str, help: str) -> Command:
    return Command(id, key, label, help, frozenset({PAPER}), "on paper", label)


def _evening(id: str, key: str, label: str, help: str, on_line: str) -> Command:
    return Command(id, key, label, help, frozenset({TONIGHT}), "this evening", on_line)


COMMANDS: tuple[Command, ...] = (
    _helped("water", "w", "watered", "Say that this tray was watered.", on_line="watered"),
    _helped("leave", "d", "left dry", "Say that it was looked at and left dry on purpose.", on_line="left"),
    _helped("look", "l", "looked", "Say that it was looked at."),
    _tray("do_due", "space", "do what is due", "Tick what is due; a number is asked for.", on_line="due"),
    _tray("root_look", "r", "roots", "A look at the roots, 0 to 4."),
    _tray("finger", "h", "finger", "A finger in the mix: dry, just moist or wet."),
    _tray("up", "e", "up", "First up, then half up with a count."),
    _tray("thin", "t", "thinned", "The spare seedlings were clipped; no losses."),
    _tray("move", "m", "move", "Move the tray to another place."),
    _tray("pot_up", "p", "pot up", "Some or all plants go into bigger containers, as new trays."),
    _tray("set_out", "o", "set out", "Some or all plants went into the ground."),
    _tray("cut", "c", "cut", "A salad flat was cut."),
    _tray("feed", "f", "fed", "This tray was fed; the label has the dose."),
    _tray("lose", "x", "lost", "Plants were lost: how many, and why."),
    _tray("count", "k", "count", "Count the good plants; the other cells are empty."),
    _helped("note", "a", "note", "Add a note to the tray."),
    _tray("resow", "R", "resow", "Sow again what didn't come up; it keeps its own date."),
    _tray("retire", "X", "retire", "What is left has done its work."),
    _tray(
        "more",
        "full_stop",
        "more",
        "Rarer acts: handed over, looks sick, sprayed, new label, stood out before, variety uncertain.",
    ),
    _tray("correct", "C", "correct", "Put right an older entry; the old value stays on record."),
    Command(
        "open", "enter", "open", "Everything about this tray.", frozenset({ROUND, FIRST}), ONE_TRAY, "open"
    ),
    _place(
        "water_place", "W", "water all", "The whole place was watered; name what was left dry.", on_line="all"
    ),
    _place("look_place", "L", "all looked", "The whole place was looked at, not watered."),
    _place("leave_place", "D", "all left", "The whole place was looked at and left dry."),
    _place("feed_place", "F", "all fed", "The whole place was fed."),
    Command(
        *("call", "c", "call", "The grower is wanted here; it stands first for them."),
        *(frozenset({HELPER}), ONE_TRAY, "call"),
    ),
    Command(
        *("next_place", "n,right", "next place", "Go on to the next place."),
        *(frozenset({ROUND, HELPER}), "a whole place", "next"),
    ),
    Command(
        *("previous_place", "b,left", "place before", "Go back to the place before."),
        *(frozenset({ROUND, HELPER}), "a whole place"),
    ),
    _place(
        "second_pass",
        "M",
        "second pass",
        "The places where trays are likely dry before evening; goes to one.",
    ),
    _place("order", "v", "order", "Worst first, or in bench order."),
    _place("close_round", "z", "close the round", "Close the round; partial while a tray is unseen."),
    Command(
        "to_round", "n,escape", "to the round", "Walk the round.", frozenset({FIRST}), "everywhere", "round"
    ),
    Command(
        "back",
        "escape,q",
        "back",
        "Back to where you came from.",
        frozenset({TRAY, READINGS}) | PAGES,
        "everywhere",
        "back",
    ),
    Command(
        *("what_if", "V", "what if", "Another place, more room, waiting: what it would change."),
        *(frozenset({TRAY}), "one tray"),
    ),
    _all("sow", "s", "sow", "A new sowing; Enter repeats the last one.", on_line="sow"),
    _any("read", "N", "read", "Low and high of a place, soil, or tonight's forecast."),
    _all("readings", "H", "readings", "A week of readings, what is assumed, light, lamps and timers."),
    _ever("undo", "u", "undo", "Take back your last entry of today.", on_line="undo"),
    _any("redo", "U", "redo", "Bring back what was taken back."),
    Command(
        *("clashes", "exclamation_mark", "clashes", "What two copies that were merged are at odds about."),
        *(AT_TRAY | PAGES, "everywhere"),
    ),
    _of_clashes("first_counts", "f", "first", "Of two acts at odds the one named first counts."),
    _of_clashes("later_counts", "l", "later", "Of two acts at odds the one named second counts."),
    _of_clashes("both_count", "b", "both", "Both acts count, where there are enough plants."),
    _of_clashes("open_clash", "enter", "open", "Everything about the tray of this line."),
    _any("entries", "j", "entries", "Who entered what today; one of your own can be taken back singly."),
    Command(
        *("take_back", "x", "take back", "Take back this entry, where no later one stands on it."),
        *(frozenset({ENTRIES}), "the day's entries", "take back"),
    ),
    Command(
        *("bring_back", "b", "bring back", "Bring back this entry."),
        *(frozenset({ENTRIES}), "the day's entries", "bring back"),
    ),
    _all("needs", "i", "what needs me first", "Across the farm, chosen anew."),
    _all("person", "y", "who", "Say who is on the round."),
    _any("places", "P", "places", "Add a place or change one."),
    _all("containers", "K", "containers", "Add a container of your own."),
    _all("timings", "T", "timings", "How long things take here: the default beside your own."),
    Command(
        *("lots", "G", "seed lots", "Add a seed lot, its germination test, or whether it is treated."),
        *(AT_TRAY | {STOCK}, "everywhere"),
    ),
    _any("settings", "S", "settings", "Farm, time zone, latitude, units, light or dark."),
    _ever("help", "question_mark", "help", "What can be done here.", on_line="help"),
    _page("plan", "A", "plan", "What to sow when, and what it takes; what was planned and not done."),
    _page("mat", "O", "mat", "Who stands on the mat when, who can do without, and the next free days."),
    _page("gate", "g", "gate", "Whether today is the day to set out: GO, WAIT or UNKNOWN."),
    _page("frost", "J", "frost", "The chance of a later freeze, as a curve and in words."),
    _page("tonight", "E", "tonight", "What stands outside this evening: bring in, cover or fine."),
    _page(
        "cold",
        "Z",
        "cold spell",
        "Whom to rescue first when it stays too cold to set out, and what that costs.",
    ),
    Command(
        *("ways", "enter", "ways through", "Every way through the cold for this sowing, side by side."),
        *(frozenset({COLD}), "cold spell", "ways"),
    ),
    _page(
        "promises",
        "equals_sign",
        "promises",
        "Who is promised what by when; what there is, and what is short.",
    ),
    _of_promises(
        "fulfil", "enter", "hand over", "Hand over what was promised, from named trays.", "hand over"
    ),
    _of_promises("add_promise", "a", "add", "Promise plants to a role or an order number.", "add"),
    _of_promises("change_promise", "c", "change", "Change how many, or for when.", "change"),
    _of_promises("drop_promise", "x", "drop", "The promise doesn't hold any more.", "drop"),
    _page(
        "health", "plus", "health", "What looked sick, who shared a bench with it, what a label withholds."
    ),
    _page("season", "Y", "season", "What a season came to, for each crop in each kind of container."),
    _of_season(
        "open_crop", "enter", "open", "The page of this crop in this container.", "open", frozenset({SEASON})
    ),
    _of_season("keep_crop", "k", "keep", "Keep it so, with two lines of your own.", "keep"),
    _of_season("change_crop", "c", "change", "Do it otherwise, with two lines of your own.", "change"),
    _of_season("drop_crop", "d", "drop", "Don't grow it so again, with two lines of your own.", "drop"),
    _of_season("write_season", "x", "write", "Write what is shown as plain text.", "write"),
    _of_season("season_before", "left", "season before", "The season before.", "", frozenset({SEASON})),
    _of_season("season_after", "right", "season after", "The season after.", "", frozenset({SEASON})),
    _page("find", "slash", "find", "Find a word in notes, beds, lots and to whom, in all seasons."),
    Command(
        *("open_found", "enter", "open", "Everything about the tray of this line."),
        *(frozenset({FOUND}), "found", "open"),
    ),
    _page("stock", "B", "stock", "Mix, trays and seed in hand, what to buy, what to wash."),
    _page("paper", "Q", "on paper", "The round as a sheet to tick by hand; sheet and labels as files."),
    _any(
        "from_paper",
        "I",
        "from paper",
        "Enter what was written down: say when it was done, then the usual keys.",
    ),
    _of_paper("write_sheet", "p", "sheet", "Write the sheet, a PDF or plain text by its name."),
    _of_paper("write_labels", "l", "labels", "Write labels for trays, or for every plant in them."),
    _of_stock("count_stock", "c", "count", "Count mix, clean containers of a kind, or seeds of a lot."),
    _of_stock("washed", "w", "washed", "Trays or pots were washed and are clean again."),
    _of_stock("read_lots", "l", "lots", "Seed lots: age, germination test with its limits, seeds a cell."),
    _of_stock("bleach", "b", "bleach bath", "Water and bleach for a bath, from the strength on the label."),
    _evening("as_proposed", "enter", "as proposed", "All of it was done as proposed.", "all so"),
    _evening("brought_in", "b", "brought in", "This tray was brought in for the night.", "in"),
    _evening("covered", "c", "covered", "This tray was covered for the night.", "cover"),
    _evening("stays_out", "f", "stays out", "This tray stays out, uncovered.", "out"),
    _evening(
        "keep_in", "k", "kept in", "This tray was kept inside all day; the day doesn't harden it.", "kept"
    ),
    _evening("away", "a", "away", "A sheet for whoever covers some days away, place by place.", "away"),
    Command(
        *("dates", "d", "dates", "Type the 50 % and 10 % dates of a station."),
        *(frozenset({FROST}), "here", "dates"),
    ),
    Command(
        "go_out",
        "o,enter",
        "set out",
        "Set out plants of this crop; where it isn't GO the reason is kept.",
        *(frozenset({GATE}), "here", "set out"),
    ),
    Command(
        *("pin", "p", "pin", "Pin this sowing to a day, to a mat or to no mat; the rota is made anew."),
        *(frozenset({MAT}), "the mat rota", "pin"),
    ),
    Command(
        *("release", "r", "release", "Give a pinned sowing back to the rota."),
        *(frozenset({MAT}), "the mat rota", "release"),
    ),
    _of_plan("sow_planned", "enter", "sow it", "Sow a tray of this line; everything is filled in.", "sow it"),
    _of_plan("add_target", "a", "add", "Add what is wanted and when; once or every so many days.", "add"),
    _of_plan("change_target", "c", "change", "Change when, how many, into what or where.", "change"),
    _of_plan("drop_target", "x", "drop", "This line isn't wanted any more.", "drop"),
    _of_plan("sowing_session", "l", "session", "The sowing session: depth, seeds, labels, mix.", "session"),
    _of_plan("write_calendar", "w", "calendar", "Write what is to come as a calendar file.", "calendar"),
    Command(
        "leave_app", "q", "quit", "Everything is saved.", frozenset({ROUND, FIRST, HELPER}), "everywhere"
    ),
)

KEY_NAMES = {
    "space": "Space",
    "enter": "Enter",
    "question_mark": "?",
    "exclamation_mark": "!",
    "slash": "/",
    "escape": "Esc",
    "full_stop": ".",
    "equals_sign": "=",
    "plus": "+",
    "right": "→",
    "left": "←",
}


def commands_of(where: str) -> tuple[Command, ...]:
    """The commands of one screen, in the order of the register."""
    return tuple(command for command in COMMANDS if where in command.where)


def bindings_of(where: str) -> list[BindingType]:
    """The keys of one screen."""
    return [
        Binding(command.key, command.id, command.label, show=False, id=f"{where}.{command.id}")
        for command in commands_of(where)
    ]


def key_words(command: Command) -> str:
    """The command's keys as they are written for people."""
    return " ".join(KEY_NAMES.get(key, key) for key in command.key.split(","))
