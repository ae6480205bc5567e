"""For all tests: the bot library gives waiting times as timedelta, as in the running service."""

import os

# Read by python-telegram-bot when a RetryAfter is built; without it that warns, and warnings fail.
os.environ["PTB_TIMEDELTA"] = "1"
