"""The programme review: what an experienced coach would point at before day 1."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from content.challenge import Challenge
from content.review import caution_rules, kit_rules, pattern_rules, time_rules, week_rules
from content.review.finding import Finding, Severity, in_order
from content.review.outlook import Outlook, look_ahead

RULES: tuple[Callable[[Outlook], Iterator[Finding]], ...] = (
    time_rules.clock_fits_the_work,
    time_rules.fits_the_time,
    time_rules.same_for_every_division,
    time_rules.warm_up_long_enough,
    pattern_rules.warm_up_covers,
    pattern_rules.hard_two_days_running,
    pattern_rules.balanced_week,
    week_rules.rest_in_seven,
    week_rules.big_jumps,
    week_rules.varied_week,
    caution_rules.asked_for_by_every_challenge,
    caution_rules.asked_for_by_the_day,
    caution_rules.newcomers_lower_themselves_often,
    kit_rules.loads_are_said,
    kit_rules.kit_can_be_replaced,
    kit_rules.same_kit_all_week,
    kit_rules.promises_are_kept,
    kit_rules.both_sides_alike,
)


@dataclass(frozen=True, eq=False)
class Review:
    """What is expected, and what stands out."""

    outlook: Outlook
    findings: tuple[Finding, ...]

    @property
    def must_be_fixed(self) -> bool:
        """Whether a finding is grave enough to hold the challenge back."""
        return any(finding.severity is Severity.MUST_FIX for finding in self.findings)


def review(content: Challenge) -> Review:
    """Review a challenge that has no errors."""
    outlook = look_ahead(content)
    return Review(outlook, in_order(finding for rule in RULES for finding in rule(outlook)))
