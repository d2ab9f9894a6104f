"""The water note: what was done, by whom, how long ago. Nothing is inferred."""

from datetime import date

from model.facts import Mark, Tray
from model.rules.verdict import Today, WaterNote


def seen_today(tray: Tray, today: date) -> Today:
    """The round's truth about a tray: unseen, looked at, left dry or watered today.

    Watered outdoes left dry, which outdoes looked at: a second pass adds to what the first one said.
    """
    if marked(tray.watered, today):
        return Today.WATERED
    if marked(tray.left, today):
        return Today.LEFT
    return Today.LOOKED if marked(tray.seen, today) else Today.UNSEEN


def marked(mark: Mark | None, day: date) -> bool:
    """Whether somebody made a mark on a day."""
    return mark is not None and mark.day == day


def water_note(tray: Tray, today: date) -> WaterNote:
    """When a tray was last watered or left dry, by whom, and whether anyone has looked today."""
    watered, left, now = tray.watered, tray.left, seen_today(tray, today)
    parts = ["not seen today"] if now is Today.UNSEEN and tray.standing else []
    if watered is not None:
        parts.append(f"watered {_when(watered.day, today)} by {watered.who}")
    if left is not None and (watered is None or left.day >= watered.day):
        parts.append(f"left dry {_when(left.day, today)} by {left.who}")
    if watered is None and left is None:
        parts.append("no watering on record")
    if now is Today.LOOKED and tray.seen is not None:
        parts.append(f"looked at today by {tray.seen.who}")
    return WaterNote(
        last_on=watered.day if watered else None,
        by=watered.who if watered else "",
        left_on=left.day if left else None,
        today=now,
        text="; ".join(parts),
    )


def _when(day: date, today: date) -> str:
    days = (today - day).days
    return ("today", "yesterday")[days] if days in (0, 1) else f"{days} d ago"
