"""What is raised where a question about a run cannot be asked."""

from __future__ import annotations

__all__ = ["CannotJudge"]


class CannotJudge(Exception):
    """A run lacks something without which nothing can be said; carries what to read."""

    def __init__(self, reason: str, read: str = "") -> None:
        super().__init__(reason)
        self.reason = reason
        self.read = read
