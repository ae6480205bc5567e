"""Loads and lengths, exact: integers in the smallest unit, Decimal on the way."""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Decimal

# Exact since the international yard and pound agreement of 1 July 1959.
GRAMS_PER_POUND = Decimal("453.59237")
METRES_PER_YARD = Decimal("0.9144")
# 1 mi = 1609.344 m exactly: NIST SP 811, Appendix B.8.
METRES_PER_MILE = Decimal("1609.344")


def _whole(value: Decimal) -> int:
    return int(value.quantize(Decimal(1), rounding=ROUND_HALF_EVEN))


def grams_from_kg(kilograms: Decimal) -> int:
    """Turn kilograms into whole grams."""
    return _whole(kilograms * 1000)


def grams_from_lb(pounds: Decimal) -> int:
    """Turn avoirdupois pounds into whole grams."""
    return _whole(pounds * GRAMS_PER_POUND)


def lb_from_grams(grams: int) -> Decimal:
    """Turn grams into pounds, unrounded."""
    return Decimal(grams) / GRAMS_PER_POUND


def metres_from_km(kilometres: Decimal) -> int:
    """Turn kilometres into whole metres."""
    return _whole(kilometres * 1000)


def metres_from_miles(miles: Decimal) -> int:
    """Turn international miles into whole metres."""
    return _whole(miles * METRES_PER_MILE)


def metres_from_yards(yards: Decimal) -> int:
    """Turn international yards into whole metres."""
    return _whole(yards * METRES_PER_YARD)


def plain(value: Decimal) -> str:
    """Write a decimal without exponent or trailing zeros: 24, 22.5."""
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def kg_text(grams: int) -> str:
    """Write grams as kilograms, exactly: "24 kg", "22.5 kg"."""
    return f"{plain(Decimal(grams) / 1000)} kg"


def kg_rounded_text(grams: int) -> str:
    """Write grams as kilograms, rounded to a tenth: "7.9 kg"."""
    return f"{plain((Decimal(grams) / 1000).quantize(Decimal('0.1')))} kg"


def lb_text(grams: int) -> str:
    """Write grams as pounds, rounded to whole ones: "53 lb"."""
    return f"{_whole(lb_from_grams(grams))} lb"


def lb_written(grams: int) -> str:
    """Write grams that were read from pounds with at most two decimals as those pounds: "17.5 lb".

    Half a gram is about a thousandth of a pound, so the hundredths come back as they were.
    """
    return f"{plain(lb_from_grams(grams).quantize(Decimal('0.01')))} lb"


def load_text(grams: int) -> str:
    """Write a load so that it is read back as the same grams: "22.5 kg", "180 lb", "82.53 kg".

    In pounds only if it is no handy number of kilograms and just what whole or half pounds make.
    """
    if grams % 100 and grams % 250:
        pounds = Decimal(_whole(lb_from_grams(grams) * 2)) / 2
        if grams_from_lb(pounds) == grams:
            return f"{plain(pounds)} lb"
    return kg_text(grams)


def clock_text(seconds: int) -> str:
    """Write seconds as minutes and seconds, with hours only when there are any: "12:34"."""
    minutes, rest = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{rest:02}" if hours else f"{minutes}:{rest:02}"
