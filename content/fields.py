"""Field types of the written material: what people write becomes numbers here, once."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Annotated, Any, Literal
from zoneinfo import available_timezones

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    PlainSerializer,
    StringConstraints,
    model_validator,
)

from content.units import (
    grams_from_kg,
    grams_from_lb,
    kg_rounded_text,
    kg_text,
    lb_text,
    lb_written,
)

_DURATION = re.compile(r"(?:(\d{1,2}):(?=[0-5]\d:))?(\d{1,3}):([0-5]\d)|(\d{1,5}) ?(h|min|s)")
_LOAD = re.compile(r"(?:([1-4]) ?x ?)?(\d{1,3}(?:\.\d{1,2})?) ?(kg|lb)")
_LOCAL_TIME = re.compile(r"([01]\d|2[0-3]):[0-5]\d")
_SECONDS = {"h": 3600, "min": 60, "s": 1}


def read_duration(value: object) -> int:
    """Turn "12 min", "45 s" or "12:30" into seconds; a bare number does not say of what."""
    found = _DURATION.fullmatch(value.strip()) if isinstance(value, str) else None
    if found is None:
        raise ValueError(f'a duration such as "12 min", "45 s" or "12:30", not {value!r}')
    hours, minutes, seconds, amount, unit = found.groups()
    if amount:
        return int(amount) * _SECONDS[unit]
    return int(hours or 0) * 3600 + int(minutes) * 60 + int(seconds)


def _known_zone(name: str) -> str:
    if name not in available_timezones():
        raise ValueError(f'a time zone name such as "Europe/Lisbon", not {name!r}')
    return name


def _local_time(value: str) -> str:
    if not _LOCAL_TIME.fullmatch(value):
        raise ValueError(f'a time of day such as "06:00", not {value!r}')
    return value


def _duration_text(seconds: int) -> str:
    return f"{seconds} s"


# A time to rest may be none at all; other durations may not.
DurationOrNone = Annotated[
    int,
    BeforeValidator(read_duration),
    PlainSerializer(_duration_text, return_type=str),
    Field(ge=0, le=24 * 3600),
]
Duration = Annotated[DurationOrNone, Field(gt=0)]
LocalTime = Annotated[str, AfterValidator(_local_time)]
ZoneName = Annotated[str, AfterValidator(_known_zone)]
Slug = Annotated[str, StringConstraints(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=40)]
# Short enough for one post; a person reads it on a phone.
Line = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=400)]
Text = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=1500)]
Count = Annotated[int, Field(ge=1, le=10_000)]


class Strict(BaseModel):
    """A frozen model that takes no key it does not know."""

    model_config = ConfigDict(extra="forbid", frozen=True, validate_by_name=True)


class Load(Strict):
    """What is held: `pieces` of `grams` each, written in `unit`."""

    grams: int = Field(gt=0, le=400_000)
    pieces: int = Field(default=1, ge=1, le=4)
    unit: Literal["kg", "lb"] = "kg"

    @model_validator(mode="before")
    @classmethod
    def _from_text(cls, value: Any) -> Any:
        if isinstance(value, dict):
            return value
        found = _LOAD.fullmatch(value.strip()) if isinstance(value, str) else None
        if found is None:
            raise ValueError(f'a load such as "24 kg", "2 x 15 kg" or "53 lb", not {value!r}')
        pieces, amount, unit = found.groups()
        grams = grams_from_kg if unit == "kg" else grams_from_lb
        return {"grams": grams(Decimal(amount)), "pieces": int(pieces or 1), "unit": unit}

    def __str__(self) -> str:
        """Write the load as it was written, with the other unit rounded behind it."""
        pieces = f"{self.pieces} x " if self.pieces > 1 else ""
        if self.unit == "lb":
            return f"{pieces}{lb_written(self.grams)} ({pieces}{kg_rounded_text(self.grams)})"
        return f"{pieces}{kg_text(self.grams)} ({pieces}{lb_text(self.grams)})"
