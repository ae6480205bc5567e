"""The demo challenge and its reader, read once."""

from __future__ import annotations

import pytest

from bot.reading.reader import Reader
from content.challenge import Challenge
from content.loading import DEMO, load_challenge


@pytest.fixture(scope="session")
def content() -> Challenge:
    return load_challenge(DEMO)


@pytest.fixture(scope="session")
def reader(content: Challenge) -> Reader:
    return Reader(movements=content.movements, divisions=content.head.divisions)
