"""`python -m jamcalc` is the same as `jamcalc`. Nothing is imported before a Ctrl-C can end it without a traceback."""

from __future__ import annotations


def start() -> int:
    """Run the command that was typed and return its exit code."""
    try:
        from jamcalc.cli.main import main

        return main()
    except KeyboardInterrupt:
        return 130  # as in cli, which may not be there yet


if __name__ == "__main__":
    import sys

    sys.exit(start())
