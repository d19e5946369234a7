"""Hours of a day and days of the week, as text."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import ClassVar, Final, Self

from workshop.project.notation import BadValue, Written

_CLOCK = re.compile(r"(\d{1,2})[:.]?(\d{2})?\s*([ap]m)?")
WEEKDAYS: Final = ("monday", "tuesday", "wednesday", "thursday", "friday")
WEEK: Final = (*WEEKDAYS, "saturday", "sunday")


def _minute(text: str) -> int | None:
    matched = _CLOCK.fullmatch(text.strip().lower())
    if matched is None:
        return None
    hour, minute, half = int(matched.group(1)), int(matched.group(2) or 0), matched.group(3)
    if half is not None:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if half == "pm" else 0)
    whole = hour * 60 + minute
    return whole if minute < 60 and whole <= 24 * 60 else None


@dataclass(frozen=True, slots=True)
class Hours(Written):
    """When the shop is open on a day: spans in minutes after midnight, none where it is closed."""

    spans: tuple[tuple[int, int], ...] = ()
    FORM: ClassVar[str] = "the hours of a day"
    EXAMPLE: ClassVar[str] = "17:30 to 21:30, or closed"
    PAST_MIDNIGHT: ClassVar[bool] = False

    @classmethod
    def read(cls, text: str) -> Self:
        """`from to until`, several with commas, or `closed`."""
        if text.strip().lower() == "closed":
            return cls(text)
        spans: list[tuple[int, int]] = []
        for part in text.split(","):
            ends = [_minute(end) for end in re.split(r"\bto\b", part)]
            if len(ends) != 2 or ends[0] is None or ends[1] is None:
                cls.refuse(text)
            if ends[1] <= ends[0] and not cls.PAST_MIDNIGHT:
                raise BadValue(f"{text.strip()!r} ends before it starts", f"write one such as {cls.EXAMPLE}")
            if spans and ends[0] < spans[-1][1]:
                raise BadValue(
                    f"{text.strip()!r} overlaps itself",
                    "write the hours in order, such as 8:00 to 12:00, 13:00 to 18:00",
                )
            spans.append((ends[0], ends[1]))
        return cls(text, tuple(spans))


@dataclass(frozen=True, slots=True)
class QuietHours(Hours):
    """When nothing may ring; a span that ends before it starts runs past midnight."""

    EXAMPLE: ClassVar[str] = "22:00 to 7:00"
    PAST_MIDNIGHT: ClassVar[bool] = True


@dataclass(frozen=True, slots=True)
class Days(Written):
    """Days of the week, in order: `names` in lower case."""

    names: tuple[str, ...] = ()
    FORM: ClassVar[str] = "days of the week"
    EXAMPLE: ClassVar[str] = "saturday, or weekdays, or monday, friday"

    @classmethod
    def read(cls, text: str) -> Self:
        """Day names with commas; `weekdays` and `weekend` stand for theirs."""
        named: set[str] = set()
        for part in text.lower().split(","):
            word = part.strip()
            if word == "weekdays":
                named.update(WEEKDAYS)
            elif word == "weekend":
                named.update(("saturday", "sunday"))
            elif word in WEEK:
                named.add(word)
            else:
                cls.refuse(text)
        return cls(text, tuple(day for day in WEEK if day in named))
