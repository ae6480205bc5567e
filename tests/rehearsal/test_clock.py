from datetime import UTC, datetime, timedelta, timezone

import pytest

from bot.rehearsal.clock import MovableClock

START = datetime(2026, 5, 4, 6, 0, tzinfo=UTC)


def test_stands_still_between_moves():
    clock = MovableClock(START)

    clock.advance(timedelta(minutes=1))

    assert [clock(), clock()] == [START + timedelta(minutes=1)] * 2


def test_gives_utc_whatever_zone_it_was_set_in():
    lisbon_summer = timezone(timedelta(hours=1))
    clock = MovableClock(START.astimezone(lisbon_summer))

    clock.move_to(datetime(2026, 5, 4, 8, 0, tzinfo=lisbon_summer))

    assert clock() == datetime(2026, 5, 4, 7, 0, tzinfo=UTC)
    assert clock().tzinfo is UTC


def test_ticking_adds_the_real_time_that_passes(monkeypatch):
    real_s = [100.0]
    monkeypatch.setattr("bot.rehearsal.clock.time.monotonic", lambda: real_s[0])
    clock = MovableClock(START, ticking=True)

    real_s[0] = 103.5
    clock.advance(timedelta(hours=1))
    real_s[0] = 104.0

    assert clock() == START + timedelta(hours=1, seconds=4)


@pytest.mark.parametrize(
    "move",
    [
        pytest.param(lambda clock: clock.move_to(START - timedelta(seconds=1)), id="move_to"),
        pytest.param(lambda clock: clock.advance(-timedelta(seconds=1)), id="advance"),
    ],
)
def test_never_goes_back(move):
    clock = MovableClock(START)

    with pytest.raises(ValueError, match="never goes back"):
        move(clock)


def test_refuses_a_naive_instant():
    clock = MovableClock(START)

    with pytest.raises(ValueError, match="aware"):
        clock.move_to(datetime(2026, 5, 5, 6, 0))  # noqa: DTZ001 - naive on purpose
