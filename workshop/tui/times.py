"""Moments and spans as a maker reads them: `Mon 19:12`, `in 3 d 4 h`, `20 min ago`."""

from __future__ import annotations

from datetime import datetime, timedelta, tzinfo


def moment(at: datetime, now: datetime, zone: tzinfo | None) -> str:
    """A moment in the shop's zone: the time today, the weekday within six days, else the date."""
    here, today = at.astimezone(zone), now.astimezone(zone)
    if here.date() == today.date():
        return f"{here:%H:%M}"
    if abs(here - today) < timedelta(days=6):
        return f"{here:%a %H:%M}"
    if here.year == today.year:
        return f"{here:%d %b}".lstrip("0")
    return f"{here:%d %b %Y}".lstrip("0")


def span(length: timedelta) -> str:
    """A length of time in its two largest parts: `42 min`, `9 h 12 min`, `3 d 4 h`."""
    seconds = int(abs(length).total_seconds())
    if seconds < 60:
        return f"{seconds} s"
    minutes, hours, days = seconds // 60, seconds // 3600, seconds // 86400
    if minutes < 60:
        return f"{minutes} min"
    if hours < 48:
        rest = minutes % 60
        return f"{hours} h {rest} min" if rest else f"{hours} h"
    rest = hours % 24
    return f"{days} d {rest} h" if rest and days < 14 else f"{days} d"


def ago(length: timedelta) -> str:
    """How long since: `just now`, `20 min ago`."""
    return "just now" if length < timedelta(seconds=60) else f"{span(length)} ago"


def countdown(length: timedelta) -> str:
    """Tall-digit text: `09:12:44` within four days, else `11 d`; late ones count up with a plus."""
    seconds = int(abs(length).total_seconds())
    late = "+" if length < timedelta(0) else ""
    if seconds >= 100 * 3600:
        return f"{late}{seconds // 86400} d"
    return f"{late}{seconds // 3600:02d}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"
