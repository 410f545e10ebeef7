"""The command `roughwater`."""

import signal
import sys

from ._native import command


def main() -> int:
    """Runs the command line of this process; returns its exit code."""
    # the interpreter's own handler would only be asked once the command is done
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    return command(["roughwater", *sys.argv[1:]])


if __name__ == "__main__":
    sys.exit(main())
