"""What is said is said once, as parts: the terminal and Markdown each set every kind of them."""

from pathlib import Path
from typing import get_args

import pytest

from elec.boat.read import read
from elec.report import markdown, text
from elec.report.parts import Kind, Part
from elec.survey import survey

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@pytest.mark.parametrize("kind", get_args(Kind))
def test_every_kind_of_part_is_set(kind):
    rows = [("load", "connected", "factor", "subject"), ("a", "b", "c", "said")]
    part = Part(kind, "said" if kind not in ("table", "loads") else "", rows)
    assert "said" in markdown.blocks_of([part])
    shown = "\n".join(text.lines_of([part])).lower()
    assert ("said" in shown) is (kind != "findings")  # in a terminal the table stands for it


def test_markdown_holds_in_full_what_the_terminal_cuts():
    found = survey(read(EXAMPLES / "caldra_wren.toml"))
    long = max(found.findings, key=lambda finding: len(finding.typical))
    assert len(long.typical) > 8
    shown, paper = text.render([found]), markdown.render([found])
    assert "more not seen (all in --json)" in shown
    assert "all in --json)" not in paper
    for typical in long.typical:
        assert markdown.escaped(f"{typical.input}: not seen, {typical.taken} taken") in paper
