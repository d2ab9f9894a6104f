"""Facts of a tray as text and back: one compact JSON object a tray."""

import json
from dataclasses import asdict
from datetime import date
from typing import Any

from model.errors import StoreTrouble
from model.facts import Call, Finger, Look, Mark, Sowing, Stay, Tray, Treated, Vessel, Withheld
from model.labels import Alias

_day = date.fromisoformat


def to_text(tray: Tray) -> str:
    """The tray's facts as JSON, always in the same order."""
    return json.dumps(asdict(tray), default=str, separators=(",", ":"), ensure_ascii=False)


def from_text(text: str) -> Tray:
    """The tray's facts from `to_text`. Raises StoreTrouble where something wrote over them."""
    try:
        return _from_raw(json.loads(text))
    except (ValueError, TypeError, KeyError, AttributeError) as error:
        raise StoreTrouble(
            "What is kept of a tray can't be read.",
            "Run trayround check --rebuild: it is reckoned anew from the acts.",
        ) from error


def _from_raw(raw: dict[str, Any]) -> Tray:
    for name in ("looked", "watered", "left", "fed", "seen"):
        raw[name] = _mark(raw[name])
    raw["made_on"] = _day(raw["made_on"])
    raw["ended_on"] = _maybe_day(raw["ended_on"])
    raw["children"] = tuple(raw["children"])
    raw["sowings"] = tuple(_sowing(sowing) for sowing in raw["sowings"])
    raw["stays"] = tuple(Stay(stay["place_id"], _day(stay["since"])) for stay in raw["stays"])
    raw["vessels"] = tuple(Vessel(v["container_id"], _day(v["since"])) for v in raw["vessels"])
    raw["fingers"] = tuple(
        Finger(_day(f["day"]), f["who"], f["score"], _maybe_day(f["watered"])) for f in raw["fingers"]
    )
    raw["looks"] = tuple(Look(_day(look["day"]), look["who"], look["score"]) for look in raw["looks"])
    raw["aliases"] = tuple(Alias(alias["number"], _day(alias["until"])) for alias in raw["aliases"])
    raw["withheld"] = tuple(
        Withheld(_day(w["day"]), w["who"], w["what"], _day(w["until"])) for w in raw["withheld"]
    )
    raw["sick"] = tuple(_day(day) for day in raw["sick"])
    raw["calls"] = tuple(Call(_day(call["day"]), call["who"], call["text"]) for call in raw["calls"])
    return Tray(**raw)


def _maybe_day(text: str | None) -> date | None:
    return _day(text) if text else None


def _mark(raw: dict[str, str] | None) -> Mark | None:
    return Mark(_day(raw["day"]), raw["who"]) if raw else None


def _sowing(raw: dict[str, Any]) -> Sowing:
    for name in ("first_up", "first_up_after", "half_up", "half_up_after", "thinned_on"):
        raw[name] = _maybe_day(raw[name])
    raw["sown_on"] = _day(raw["sown_on"])
    raw["treated"] = Treated(raw["treated"])
    raw["given"] = tuple((promise, count) for promise, count in raw["given"])
    raw["cuts"] = tuple(_day(cut) for cut in raw["cuts"])
    raw["counts"] = tuple((_day(day), count) for day, count in raw["counts"])
    return Sowing(**raw)
