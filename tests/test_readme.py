"""What the README and the other papers say is so: commands, options, files, keys, quoted output.

Run as a program, ``python tests/test_readme.py`` brings the tables of the README up to date that
follow from the code: commands, checks, lists of the boat file.
"""

from __future__ import annotations

import re
import shlex
import tomllib
from pathlib import Path

import pytest
import typer.main
import typer.testing

from elec import noted, published
from elec.boat.read import read
from elec.boat.records import STANDARD_CONDITIONS, BoatFile
from elec.checks.registry import checks
from elec.cli.app import app
from elec.report import text as report
from elec.survey import survey

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
PAPERS = ("README.md", "SAFETY.md", "DEVELOPERS.md")
COMMANDS = typer.main.get_command(app).commands  # type: ignore[attr-defined]


def section(title: str) -> str:
    """Return what stands under a heading of the second level."""
    found = re.search(rf"^## {title}\n(.*?)(?=^## |\Z)", README, flags=re.M | re.S)
    assert found, title
    return found[1]


def up_to_date(text: str) -> str:
    """Return the README with what follows from the code as the code has it."""
    lists = [f"`[[{name}]]`" for name in BoatFile.model_fields if name != "boat"]
    tables = {
        "command | does": {name: first_sentence(c.help) for name, c in COMMANDS.items()},
        "check | judges": {name: one.judges for name, one in checks().items()},
    }
    for head, rows in tables.items():
        body = "".join(f"| `{name}` | {words} |\n" for name, words in rows.items())
        start = rf"^\| {re.escape(head)} \|\n\|---\|---\|\n"
        assert re.search(start, text, flags=re.M), head
        text = re.sub(
            rf"({start})(?:\|.*\n)*", lambda found, body=body: found[1] + body, text, flags=re.M
        )
    named = f"{', '.join(lists[:-1])} or {lists[-1]}"
    return re.sub(r"(?<=then one ).*?(?= for each thing aboard)", named, text)


def first_sentence(text: str | None) -> str:
    return " ".join((text or "").partition("\n\n")[0].split()).partition(". ")[0].rstrip(".")


def fenced(text: str, language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```$", text, flags=re.M | re.S)


# -- shape -----------------------------------------------------------------------------------


def test_one_paragraph_states_the_job_before_anything_else() -> None:
    head, _, rest = README.partition("\n## ")
    title, *paragraphs = [part for part in head.split("\n\n") if part.strip()]
    assert title == "# elec"
    assert len(paragraphs) == 1
    assert rest.startswith("Run it\n")


@pytest.mark.parametrize("title", ["Run it", "Test it"])
def test_one_command_line_that_makes_its_own_environment(title: str) -> None:
    (block,) = fenced(section(title), "sh")
    assert block.count("\n") == 1
    assert block.startswith("python3 -m venv .venv && .venv/bin/pip install ")


def test_ci_runs_the_tests_as_the_readme_does() -> None:
    (line,) = fenced(section("Test it"), "sh")
    command = line.strip().rpartition("/bin/")[2]
    last = (ROOT / ".ci" / "run").read_text(encoding="utf-8").rstrip().splitlines()[-1]
    assert last == f'"$bin/{command.replace(" ", chr(34) + " ", 1)}'


def test_the_example_ends_with_the_exit_code_that_is_told() -> None:
    (line,) = fenced(section("Run it"), "sh")
    boat = read(ROOT / line.split()[-1])
    (told,) = re.findall(r"exit code (\d)", section("Run it"))
    assert survey(boat).exit_code == int(told)


# -- names -----------------------------------------------------------------------------------


@pytest.mark.parametrize("paper", PAPERS)
def test_commands_options_and_tables_exist(paper: str) -> None:
    text = (ROOT / paper).read_text(encoding="utf-8")
    code = [*re.findall(r"`([^`\n]+)`", text), *"".join(fenced(text, "sh")).splitlines()]
    for part in code:
        for words in re.findall(r"(?:^|/|&& )elec((?: [\w./=*-]+)+)", part):
            name, *rest = words.split()
            if name == "COMMAND":
                continue
            if name.startswith("-"):
                assert name in ("--help", "--version"), part
                continue
            assert name in COMMANDS, part
            known = {option for param in COMMANDS[name].params for option in param.opts}
            assert {word for word in rest if word.startswith("-")} <= known, part
            if name == "table" and rest and not rest[0].startswith("-") and rest[0] != "NAME":
                assert rest[0] in published.names(), part


@pytest.mark.parametrize("paper", PAPERS)
def test_options_of_the_survey_exist(paper: str) -> None:
    text = (ROOT / paper).read_text(encoding="utf-8")
    known = {option for entry in COMMANDS.values() for p in entry.params for option in p.opts}
    for option in re.findall(r"`(--[a-z-]+)", text):
        assert option in known | {"--help", "--version"}, option


@pytest.mark.parametrize("paper", PAPERS)
def test_files_exist(paper: str) -> None:
    text = (ROOT / paper).read_text(encoding="utf-8")
    links = re.findall(r"\]\(([^)#]+)\)", text)
    named = re.findall(r"`((?:elec|tests|examples|tables|\.ci)/[\w./-]*\w/?)`", text)
    for name in [*links, *named, *re.findall(r"\bexamples/\w+\.\w+", text)]:
        assert "NAME" in name or (ROOT / name).exists(), name


def test_standard_conditions_are_named() -> None:
    for condition in STANDARD_CONDITIONS:
        assert f"`{condition}`" in section("The boat file")


def test_tables_that_follow_from_the_code_are_up_to_date() -> None:
    assert up_to_date(README) == README, "run: python tests/test_readme.py"


# -- what it quotes --------------------------------------------------------------------------


def test_ways_to_write_a_value_are_read() -> None:
    written = re.findall(r'^\| `"([^`]+)"`', section("The boat file"), flags=re.M)
    assert len(written) == 5
    for value in written:
        noted.read(value, "current" if value.endswith("A") else "length")


def test_quoted_output_is_what_the_quoted_boat_file_gives(tmp_path: Path) -> None:
    (boat,) = fenced(section("Reading the output"), "toml")
    assert tomllib.loads(boat)
    file = tmp_path / "boat.toml"
    file.write_text(boat, encoding="utf-8")
    printed = report.render([survey(read(file))])
    (quoted,) = fenced(section("Reading the output"), "text")
    assert quoted in printed


def test_the_record_of_a_check_is_quoted_as_it_stands() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    (record,) = (block for block in fenced(text, "python") if block.startswith("CHECK = "))
    assert record in (ROOT / "elec/checks/banks/bank_covers.py").read_text(encoding="utf-8")


def test_exit_codes_are_all_told() -> None:
    assert re.findall(r"^\| (\d) \|", section("Reading the output"), flags=re.M) == list("0132")


SHOWN = [line for block in fenced(section("Three walks"), "sh") for line in block.splitlines()]


@pytest.mark.parametrize("line", SHOWN)
def test_commands_shown_give_an_answer(line: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    answer = typer.testing.CliRunner().invoke(app, shlex.split(line)[1:])
    assert answer.exit_code in (0, 1, 3), answer.output
    assert answer.stdout


@pytest.mark.parametrize("number", range(2))
def test_library_examples_run(number: int, monkeypatch: pytest.MonkeyPatch) -> None:
    blocks = fenced(section("As a library"), "python")
    assert len(blocks) == 2
    monkeypatch.chdir(ROOT)
    exec(compile(blocks[number], "README.md", "exec"), {})


if __name__ == "__main__":
    (ROOT / "README.md").write_text(up_to_date(README), encoding="utf-8")
