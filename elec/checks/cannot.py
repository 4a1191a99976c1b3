"""What is raised where a question cannot be asked of one thing aboard."""

from __future__ import annotations

from elec.errors import ElecError

__all__ = ["CannotJudge", "cannot"]


class CannotJudge(ElecError):
    """A thing lacks something without which nothing can be said; carries what to read."""

    def __init__(self, reason: str, read: str = "") -> None:
        super().__init__(reason)
        self.reason = reason
        self.read = read


def cannot(error: ElecError) -> CannotJudge:
    """Return why one thing could not be judged, its arithmetic refusing a value, so others can."""
    if isinstance(error, CannotJudge):
        return error
    cause = " ".join(str(error).split())
    return CannotJudge(f"it could not be worked out: {cause}", cause)
