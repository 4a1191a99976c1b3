"""The command line: parse, call, render, exit; no arithmetic."""

from __future__ import annotations

__all__ = ["main"]


def main() -> None:
    """Run the command; expected errors end in one message and exit code 2, never a traceback."""
    import gc

    from elec.cli.app import run

    gc.set_threshold(100_000)  # a short process keeps most of what it makes: nothing to look for
    run()
