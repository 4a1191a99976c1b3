"""The command line as a user runs it: what it prints, and how it ends."""

import contextlib
import io
import json
import os
import subprocess
import sys
from typing import NamedTuple
from unittest.mock import patch

from elec.cli import main
from elec.published import use_tables_from


class Done(NamedTuple):
    stdout: str
    stderr: str
    returncode: int


def elec(*arguments):
    """Run a command in this process; an error that is none of ours is not caught."""
    out, err = io.StringIO(), io.StringIO()
    code = None
    with (
        patch.object(sys, "argv", ["elec", *map(str, arguments)]),
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(err),
    ):
        try:
            main()
        except SystemExit as ended:
            code = ended.code
        finally:
            use_tables_from()
    return Done(out.getvalue(), err.getvalue(), int(code or 0))


def elec_apart(*arguments, **environment):
    """Run a command in a process of its own, as a terminal of that environment does."""
    return subprocess.run(
        [sys.executable, "-c", "from elec.cli import main; main()", *map(str, arguments)],
        capture_output=True,
        text=True,
        check=False,
        env=os.environ | environment,
    )


def document(*arguments):
    """Return the JSON document that a command prints."""
    return answered(*arguments)[0]


def answered(*arguments):
    """Return the JSON document that a command prints, and its exit code."""
    done = elec(*arguments, "--json")
    assert not done.stderr, done.stderr
    return json.loads(done.stdout), done.returncode


def refused(*arguments, words=()):
    """Run a command that is refused with one clear message, and return that."""
    done = elec(*arguments)
    assert done.returncode == 2, done.stdout
    assert done.stdout == ""
    assert "Traceback" not in done.stderr
    assert done.stderr.count("error") == 1
    for word in words:
        assert word in done.stderr, done.stderr
    return done.stderr


def finding(given, check):
    """Return the finding of a document by a check."""
    return next(one for one in given["findings"] if one["check"] == check)


def flat(text):
    """Return text without its line ends."""
    return " ".join(text.split())
