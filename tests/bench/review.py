"""How long the programme review takes: imagined people, a whole challenge, a picture."""

from __future__ import annotations

from collections.abc import Callable
from time import perf_counter

from bot.pictures.review_picture import day_picture
from content.challenge import WorkoutDay
from content.loading import DEMO, load_challenge
from content.review.outlook import look_ahead
from content.review.people import MANY, draw
from content.review.review import review
from content.review.simulation import Simulated, simulate
from content.task import task_of

GOAL_S = 1.0  # for one division's day


def run() -> None:
    """Print seconds and how often they fit into the goal."""
    content = load_challenge(DEMO)
    people = draw()
    print(f"{MANY} people, one division, one day; the goal is {GOAL_S:.0f} s")
    for number, day in enumerate(content.days, start=1):
        if isinstance(day, WorkoutDay):
            task = task_of(day, "full", content.movements)
            if not isinstance(simulate(task, people), Simulated):
                continue
            took = _seconds(lambda task=task: simulate(task, people))
            print(
                f"  day {number} {took * 1e3:7.1f} ms, {GOAL_S / took:6.0f} times inside the goal"
            )
    load = _seconds(lambda: load_challenge(DEMO))
    whole = _seconds(lambda: review(content))
    print(f"load {load:.2f} s; review {whole:.2f} s, {whole / load:.1f} loads")
    outlook = look_ahead(content, people)
    drawn = _seconds(lambda: day_picture(outlook, 1))
    print(f"picture {drawn:.2f} s, {drawn / whole:.1f} reviews")


def _seconds(action: Callable[[], object]) -> float:
    best = float("inf")
    for _ in range(3):
        started = perf_counter()
        action()
        best = min(best, perf_counter() - started)
    return best
