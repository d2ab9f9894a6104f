"""The morning's list without the screen: as text to read, and as one JSON object."""

import json
from datetime import date
from typing import Any

from model.days import say_day
from model.rules.verdict import Due, Thirst, Today
from model.text import clean, fit
from model.views.lines import RoundView, TrayLine

SEEN = {Today.UNSEEN: "unseen", Today.LOOKED: "looked", Today.LEFT: "left", Today.WATERED: "watered"}


def as_json(view: RoundView) -> str:
    """The round as one JSON object; `trays` is in rank order."""
    return json.dumps(
        {
            "on": view.on.isoformat(),
            "farm": view.farm,
            "unseen": view.unseen,
            "trays": [_tray(x) for x in view.lines],
        },
        ensure_ascii=False,
        indent=1,
    )


def _tray(line: TrayLine) -> dict[str, Any]:
    fill = line.fill
    return {
        "number": line.number,
        "label": line.label,
        "place": line.place,
        "crop": line.crop,
        "variety": line.variety,
        "container": line.container,
        "plants": line.plants,
        "sown_on": line.sown_on.isoformat(),
        "age_days": line.age_days,
        "days_in_container": line.here_days,
        "stage": line.stage.value,
        "root_fill": {
            "expected": _part(fill.expected if fill else None),
            "low": _part(fill.low if fill else None),
            "high": _part(fill.high if fill else None),
        },
        "value_of_look": round(line.value_of_look, 3),
        "ready": {"from": _day(line.ready[0]), "to": _day(line.ready[1])} if line.ready else None,
        "root_bound": line.risk.value,
        "due": [_due(due) for due in line.due],
        "water": {
            "last_on": _day(line.water.last_on),
            "by": line.water.by or None,
            "left_on": _day(line.water.left_on),
            "today": SEEN[line.water.today],
            "note": line.water.text,
            "forecast": _forecast(line.thirst) if line.thirst else None,
        },
        "flags": list(line.flags),
        "rank": line.rank,
        "why": list(line.why),
    }


def _forecast(thirst: Thirst) -> dict[str, Any]:
    return {
        "easy": _part(thirst.easy_water),
        "low": _part(thirst.low),
        "high": _part(thirst.high),
        "dry_on": _day(thirst.dry_on),
        "word": thirst.word,
        "how": thirst.how,
        "source": thirst.source,
    }


def _due(due: Due) -> dict[str, Any]:
    return {
        "what": due.task.value,
        "from": due.window.start.isoformat(),
        "to": _day(due.window.end),
        "why": due.why,
    }


def _day(day: date | None) -> str | None:
    return day.isoformat() if day else None


def _part(fraction: float | None) -> float | None:
    return None if fraction is None else round(fraction, 3)


def as_text(view: RoundView) -> str:
    """The round place by place, worst first within each."""
    rows = [f"{say_day(view.on)}   {clean(view.farm)}   not seen {view.unseen} of {len(view.lines)}"]
    for place in view.places:
        here = [line for line in view.lines if line.place_id == place.place_id]
        if here:
            rows.append(
                f"\n{clean(place.name)}   {place.trays} of {place.slots} slots, {place.unseen} not seen"
            )
            rows += [_row(line) for line in here]
    return "\n".join(rows)


def _row(line: TrayLine) -> str:
    fill = f"{line.fill.expected:>4.0%}" if line.fill is not None and not line.instead else "   -"
    what = fit(clean(f"{line.crop} {line.variety}"), 22)
    flags = ", ".join(line.flags)
    return (
        f"{line.label:>6} {SEEN[line.seen]:<8}{'d' + str(line.age_days):<5}{what} {fill} "
        f"{line.due_words:<18} {line.water_words:<6} {flags}"
    ).rstrip()
