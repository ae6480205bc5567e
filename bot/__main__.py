"""`python -m bot` is `rungbell`."""

import sys

from bot.command_line import main

if __name__ == "__main__":
    sys.exit(main())
