"""The command line: parse, call, render, exit; no arithmetic."""

from __future__ import annotations

__all__ = ["main"]


def main() -> None:
    """Run the command; expected errors end in one message and exit code 2, never a traceback."""
    from elec.cli.app import run

    run()
