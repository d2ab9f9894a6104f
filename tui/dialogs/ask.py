"""Small questions, one after the other, in one window.

A flow is a generator: it yields questions and is sent the answers, and returns what it made of them. The
window shows one question at a time; Esc leaves without having done anything, Backspace with nothing typed goes back
to the question before. A generator can't be wound back, so the flow is begun anew and sent the answers that stand: a
flow may ask and reckon, and do nothing else.
"""

from collections.abc import Callable, Generator, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import Any, Generic, ParamSpec, TypeVar

from rich.cells import cell_len
from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Input, Static
from textual.widgets.input import Selection

from model.errors import TrayroundError
from model.text import clean, cut
from tui.text import fit

T = TypeVar("T")
P = ParamSpec("P")
LETTERS = "123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
SUGGESTIONS = 5
ROWS = 10
"""Options below each other before they go on in a second column, where that cuts none of them."""
GAP = 2
"""Blanks after an option."""
MOST_WIDTH = 100
MOST_LIKELY = 30
"""Most signs of the likely answer in the hint; the line has it whole."""
BEGIN = None
"""What a flow is sent to ask its first question."""
OTHER_ROWS = 4
"""Rows of the rule, the title, the prompt and a refusal."""


@dataclass(frozen=True, slots=True)
class Option:
    """One answer to a choice; without a key it takes the next digit or letter."""

    label: str
    value: Any
    key: str = ""


@dataclass(frozen=True, slots=True)
class Choose:
    """A question that one key answers; Enter takes the likely answer."""

    prompt: str
    options: Sequence[Option]
    likely: int = 0

    def keyed(self) -> list[tuple[str, Option]]:
        """The options with the key of each."""
        taken = {option.key for option in self.options if option.key}
        free = (letter for letter in LETTERS if letter not in taken)
        keyed = [(option.key or next(free, ""), option) for option in self.options]
        return [(key, option) for key, option in keyed if key]


@dataclass(frozen=True, slots=True)
class Type:
    """A question that is typed and ended with Enter; Enter alone takes the likely answer."""

    prompt: str
    parse: Callable[[str], Any]
    likely: str = ""
    hint: str = ""
    suggest: Callable[[str], Sequence[str]] = field(default=lambda _text: ())


@dataclass(frozen=True, slots=True)
class Given:
    """An answer that stands: what was typed for it, what it means, and how it is told above the next question."""

    typed: str
    value: Any
    said: str


Question = Choose | Type
Flow = Generator[Question, Any, T]


def laid_out(labels: Sequence[str], width: int, rows: int) -> list[str]:
    """Options below each other, in as many columns as it takes; cut only where they must be."""
    columns = 1
    for most in (ROWS, rows):
        columns = max(1, -(-len(labels) // max(1, most)))
        if all(cell_len(label) + GAP <= width // columns for label in labels):
            break
    height = -(-len(labels) // columns)
    room = max(1, width // columns - GAP)
    return [
        (" " * GAP).join(fit(label, room) for label in labels[row::height]).rstrip() for row in range(height)
    ]


def _called(question: Choose, typed: str) -> Option | None:
    """The one answer whose words begin as it was typed."""
    found = [o for _, o in question.keyed() if o.label.lower().startswith(typed.strip().lower())]
    return found[0] if len(found) == 1 and typed.strip() else None


def _hint(question: Type, text: str) -> str:
    """What helps with the answer; while nothing is typed also what Enter takes, which no colour may say alone."""
    if not question.likely or "Enter" in question.hint:
        return question.hint
    if text:
        # The row stays: what is above it mustn't jump at the first letter.
        return question.hint or " "
    takes = f"Enter takes {cut(clean(question.likely), MOST_LIKELY)}"
    return f"{question.hint}; {takes}" if question.hint else takes


class Field(Input):
    """A line that is typed. What is pasted into it is cleaned before it is drawn: it may hold what steers a terminal."""

    typed = False
    """Whether anything was typed since the question was asked: a finger that stays on Backspace goes back no question."""

    def action_delete_left(self) -> None:
        """Delete a letter; where nothing was typed yet, go back to the question before."""
        untouched = not self.typed and self.selection == Selection(0, len(self.value))
        if untouched and isinstance(self.screen, Ask):
            self.screen.go_back()
        else:
            super().action_delete_left()

    def replace(self, text: str, start: int, end: int) -> None:
        """Put text in the place of other text; all that is typed or pasted comes through here."""
        self.typed = True
        super().replace(clean(text), start, end)


class Ask(ModalScreen[T | TrayroundError | None], Generic[T]):
    """Asks the questions of a flow and gives back what it returns, why it refused, or None after Esc."""

    AUTO_FOCUS = ""
    BINDINGS = [Binding("escape", "leave", "Leave", show=False)]

    DEFAULT_CSS = """
    Ask { align: center bottom; background: $ground 10%; }
    Ask > Vertical {
        width: 100%; height: auto; max-height: 100%; background: $raised; color: $ink;
        border-top: heavy $quiet; padding: 0 1;
    }
    Ask .ask--title { height: 1; }
    Ask .ask--said { color: $quiet; height: auto; }
    Ask .ask--prompt { height: auto; }
    Ask .ask--options { height: auto; }
    Ask .ask--error { color: $crowding; text-style: bold; height: auto; }
    Ask Input { border: none; background: $ground; color: $ink; height: 1; padding: 0 1; }
    Ask Input:focus { border: none; }
    Ask Input > .input--placeholder { color: $quiet; }
    """

    def __init__(self, title: str, flow: Callable[P, Flow[T]], *args: P.args, **kwargs: P.kwargs) -> None:
        super().__init__()
        self._title = title
        self._begin = partial(flow, *args, **kwargs)
        self._flow = self._begin()
        self._question: Question | None = None
        self._given: list[Given] = []
        self._astray = ""
        """What was typed at a choice since a key that fits none of it: it may be a name, and picks nothing by itself."""

    def compose(self) -> ComposeResult:
        with Vertical():
            yield Static("", classes="ask--title", markup=False)
            yield Static("", classes="ask--said", markup=False)
            yield Static("", classes="ask--prompt", markup=False)
            yield Field(id="typed", select_on_focus=False)
            yield Static("", classes="ask--options", markup=False)
            yield Static("", classes="ask--error", markup=False)

    def on_mount(self) -> None:
        self._ask(BEGIN)

    def _ask(self, *answers: Any, typed: str = "") -> None:
        """Send the answers to the flow and show its next question, or end with what it returns."""
        try:
            for answer in answers:
                self._question = self._flow.send(answer)
        except StopIteration as end:
            self.dismiss(end.value)
        except TrayroundError as error:
            self.dismiss(error)
        else:
            self._show(typed)

    def _answer(self, value: Any, said: str, typed: str = "") -> None:
        """Take an answer."""
        prompt = clean(self._question.prompt) if self._question is not None else ""
        self._given.append(Given(typed, value, f"{prompt}  {said}"))
        self._ask(value)

    def _show(self, typed: str) -> None:
        """Show the question, with what was typed for it when it was asked before."""
        question = self._question
        assert question is not None
        title, said, prompt, options = (
            self.query_one(f".ask--{name}", Static) for name in ("title", "said", "prompt", "options")
        )
        back = "Backspace goes one back, " if self._given else ""
        title.update(Text.assemble((clean(self._title), "bold"), f"   {back}Esc leaves"))
        said.update(Text("\n".join(given.said for given in self._given), no_wrap=True, overflow="ellipsis"))
        said.display = bool(self._given)
        prompt.update(Text(clean(question.prompt)))
        self._refuse("")
        self._astray = ""
        line = self.query_one("#typed", Field)
        line.typed = False
        line.display = isinstance(question, Type)
        if isinstance(question, Type):
            line.value = typed
            line.placeholder = clean(question.likely)
            line.cursor_blink = False
            line.focus()
            line.select_all()
            self._suggest(typed)
        else:
            self.set_focus(None)
            self._show_options(question)
        options.display = True

    def _show_options(self, question: Choose) -> None:
        likely = question.likely if 0 <= question.likely < len(question.options) else -1
        labels = [
            f" {key}  {clean(option.label)}{'   (Enter)' if position == likely else ''}"
            for position, (key, option) in enumerate(question.keyed())
        ]
        width = min(self.size.width, MOST_WIDTH) - 2
        rows = self.size.height - OTHER_ROWS - len(self._given) - cell_len(clean(question.prompt)) // width
        lines = laid_out(labels, width, rows)
        self.query_one(".ask--options", Static).update(Text("\n".join(lines), no_wrap=True))

    def on_resize(self) -> None:
        """The options are laid out for the room there is."""
        if isinstance(self._question, Choose):
            self._show_options(self._question)

    def _suggest(self, text: str) -> None:
        if isinstance(self._question, Type):
            found = [clean(word) for word in self._question.suggest(text)][:SUGGESTIONS]
            lines = [_hint(self._question, text), *(f"   {word}" for word in found)]
            self.query_one(".ask--options", Static).update(Text("\n".join(line for line in lines if line)))

    def on_input_changed(self, event: Input.Changed) -> None:
        """Show what the typed text could mean."""
        self._suggest(event.value)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take the typed answer, or say what is wrong with it and keep it."""
        event.stop()
        self._take(event.value)

    def _take(self, value: str) -> None:
        if not isinstance(self._question, Type):
            return
        text = clean(value).strip() or self._question.likely
        try:
            answer = self._question.parse(text)
        except TrayroundError as error:
            self._refuse(str(error))
        else:
            self._answer(answer, text, typed=value)

    def _refuse(self, words: str) -> None:
        error = self.query_one(".ask--error", Static)
        error.update(Text(words))
        error.display = bool(words)

    def on_key(self, event: events.Key) -> None:
        """A key answers a choice. A key that came before the field had the focus is typed into it."""
        if event.key == "escape":
            event.stop()
            self.action_leave()
        elif isinstance(self._question, Choose):
            event.stop()
            if event.key == "backspace" and self._astray:
                self._stray(self._question, self._astray[:-1])
            elif event.key == "backspace":
                self.go_back()
            else:
                self._choose(event)
        elif isinstance(self._question, Type):
            typed = self.query_one("#typed", Field)
            if event.key == "enter" and self.focused is None:
                event.stop()
                self._take(typed.value)
            elif event.is_printable and event.character:
                event.stop()
                typed.replace(event.character, *typed.selection)

    def _choose(self, event: events.Key) -> None:
        question = self._question
        if not isinstance(question, Choose):
            return
        keyed = dict(question.keyed())
        likely = question.options[question.likely] if 0 <= question.likely < len(keyed) else None
        if event.key == "enter":
            chosen = _called(question, self._astray) if self._astray else likely
        else:
            chosen = None if self._astray else keyed.get(event.character or "")
        if chosen is not None:
            self._answer(chosen.value, chosen.label)
        elif event.key == "enter" and not self._astray:
            self._refuse("Press one of the keys at the left, or Esc.")
        elif event.is_printable:
            self._stray(question, self._astray + (event.character or ""))

    def _stray(self, question: Choose, typed: str) -> None:
        """Say what a key that fits no answer has begun: the name of one, or nothing."""
        self._astray = typed
        named = _called(question, typed)
        if named is not None:
            self._refuse(f"{typed}: Enter takes {clean(named.label)}. Backspace deletes it.")
        else:
            self._refuse(
                f"{typed!r} is none of the answers. Backspace, then one of the keys." if typed else ""
            )

    def go_back(self) -> None:
        """Ask the question before this one again, where there was one."""
        if self._given:
            last = self._given.pop()
            self._flow = self._begin()
            self._ask(BEGIN, *(given.value for given in self._given), typed=last.typed)

    def action_leave(self) -> None:
        """Leave without having done anything."""
        self.dismiss(None)
