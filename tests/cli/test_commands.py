"""The commands, run as a user runs them."""

import csv
import io
import json
import re
from pathlib import Path

import jsonschema
import pytest

import made
from commands import document, elec, elec_apart, refused
from elec.boat.read import read
from elec.published import names

EXAMPLES = sorted(made.EXAMPLES.glob("*.toml"))
LARGEST = max(EXAMPLES, key=lambda path: path.stat().st_size)


@pytest.fixture(scope="module")
def documents():
    return {path.stem: elec("survey", path, "--json") for path in EXAMPLES}


@pytest.mark.parametrize("form", ["--json", "--markdown", "--csv", "--brief"])
def test_same_input_same_bytes(form):
    first, second = (elec_apart("survey", *EXAMPLES, form) for _ in range(2))
    assert first.stdout == second.stdout
    assert first.returncode == second.returncode == 1
    assert first.stderr == ""
    assert len(first.stdout) > 1000


def test_text_fits_eighty_columns_and_says_what_was_not_checked():
    for path in EXAMPLES:
        out = elec("survey", path).stdout
        long = [line for line in out.splitlines() if len(line) > 80]
        assert not long
        assert "NOT CHECKED" in out
        assert "licensed marine" in out


def test_no_colour_when_not_a_terminal():
    assert "\x1b" not in elec("survey", EXAMPLES[0]).stdout


def test_json_document(documents):
    for name, result in documents.items():
        document = json.loads(result.stdout)
        assert list(document)[:6] == [
            "elec",
            "boat",
            "basis",
            "findings",
            "go_back",
            "not_checked",
        ]
        assert list(document)[6:] == ["load_cards", "load_analysis"]
        for found in document["findings"]:
            assert found["verdict"] in {"adequate", "marginal", "inadequate", "undetermined"}
            assert (found["priority"] is None) == (found["verdict"] == "adequate")
            noted_alone = found["check"] == "bank-balance" and not found["typical"]
            assert found["sources"] or noted_alone, (name, found["check"])
            for span in (found["value"], found["limit"]):
                low, best, high = (span[k] for k in ("low", "best", "high"))
                if None not in (low, best, high):
                    assert low <= best <= high, (name, found["statement"])
            assert found["sense"] in {"at most", "at least"}
        verdicts = {found["verdict"] for found in document["findings"]}
        assert result.returncode == (1 if "inadequate" in verdicts else 3)


def test_undetermined_findings_say_what_they_turn_on(documents):
    for result in documents.values():
        for found in json.loads(result.stdout)["findings"]:
            if found["verdict"] == "undetermined":
                assert found["turns_on"], found["statement"]
            else:
                assert not found["turns_on"]


def test_several_boats_are_one_list_and_the_worst_exit_code():
    result = elec("survey", *EXAMPLES, "--json")
    assert len(json.loads(result.stdout)) == len(EXAMPLES)
    assert result.returncode == 1


def test_csv_has_a_row_for_every_finding_thing_to_read_and_question_left_out(documents):
    rows = list(csv.DictReader(io.StringIO(elec("survey", LARGEST, "--csv").stdout)))
    document = json.loads(documents[LARGEST.stem].stdout)
    assert None not in rows[0]
    for kind, listed in (
        ("finding", "findings"),
        ("go back", "go_back"),
        ("not checked", "not_checked"),
    ):
        assert sum(row["row"] == kind for row in rows) == len(document[listed])
    found = [row for row in rows if row["row"] == "finding"]
    for row, one in zip(found, document["findings"], strict=True):
        for column in ("check", "subject", "part", "remedy", "caution"):
            assert row[column] == (one[column] or "")
        assert row["notes"] == " ".join(one["notes"])
        assert bool(row["turns_on"]) == bool(one["turns_on"])
    names = [(row["check"], row["subject"], row["part"]) for row in found]
    assert len(set(names)) == len(names)


def test_a_yes_or_no_has_no_amount_in_hand(tmp_path):
    path = tmp_path / "boat.toml"
    path.write_text(
        '[boat]\nname = "Test"\n[[inlet]]\nid = "i"\nrating = "50 A"\nservice = "120/240 V"\n'
        'ground_fault_protection = "no"\n'
    )
    text = elec("survey", path, "--brief").stdout
    summary = {" ".join(line.split()[2:5]): line.split()[-2:] for line in text.splitlines()[5:14]}
    assert summary["inlet-protection i, leakage"] == ["INADEQUATE", "-"]
    assert summary["inlet-protection i, bond"][-2:] == ["not", "seen"]
    rows = list(csv.DictReader(io.StringIO(elec("survey", path, "--csv").stdout)))
    leakage = next(row for row in rows if row["part"] == "leakage")
    assert leakage["value_best"] == leakage["margin_low"] == ""


def test_brief_leaves_out_arithmetic_and_sources_and_nothing_else():
    whole = elec("survey", LARGEST).stdout.splitlines()
    brief = elec("survey", LARGEST, "--brief").stdout.splitlines()
    assert "LOAD ANALYSIS" in brief
    left_out = ("   = ", "   ~ ", "   # ", "     ")
    assert [line for line in whole if not line.startswith(left_out)] == [
        line for line in brief if not line.startswith(left_out)
    ]


def test_only_asks_one_check_and_refuses_an_unknown_one():
    given = document("survey", LARGEST, "--only", "run-drop")
    assert {found["check"] for found in given["findings"]} == {"run-drop"}
    refused("survey", LARGEST, "--only", "run-dorp", words=["Did you mean 'run-drop'?"])


def test_basis_can_be_chosen():
    us, iso = (document("survey", EXAMPLES[-1], "--basis", basis) for basis in ("us", "iso"))
    assert (us["basis"], iso["basis"]) == ("us", "iso")
    assert us["findings"] != iso["findings"]


def test_go_back_list_of_the_walk_is_two_pages_at_most(documents):
    out = elec("survey", LARGEST).stdout
    part = out.split("GO BACK AND READ")[1].split("NOT CHECKED")[0]
    assert 10 < len(part.splitlines()) <= 2 * 60


def test_table_lists_every_table_and_prints_one():
    out = elec("table").stdout
    for name in names():
        assert f"\n{name} (" in f"\n{out}"
    one = elec("table", "cfr183_table5_ampacity").stdout
    assert "33 CFR" in one
    assert "445" in one
    assert document("table", "cfr183_table5_ampacity")["cells"]


def test_unknown_table_is_refused_with_the_nearest():
    refused("table", "cfr183_table5", words=["cfr183_table5_ampacity"])


def test_own_tables_replace_the_shipped_ones(tmp_path):
    shipped = Path(__file__).resolve().parents[2] / "tables"
    for ending in ("csv", "toml"):
        source = shipped / "batteries" / f"usable_fraction.{ending}"
        (tmp_path / source.name).write_text(source.read_text().replace("agm,0.50", "agm,0.90"))
    boat = next(path for path in EXAMPLES if path.stem == "ostrelline")

    def autonomy(*options):
        out = elec("survey", boat, "--only", "bank-autonomy", "--json", *options).stdout
        return json.loads(out)["findings"][0]["value"]["high"]

    assert autonomy("--tables", tmp_path) == pytest.approx(autonomy() * 0.90 / 0.50)
    refused("survey", boat, "--tables", tmp_path / "none", words=["is not a folder"])


def test_schema_accepts_the_examples():
    import tomllib

    schema = json.loads(elec("schema").stdout)
    jsonschema.Draft202012Validator.check_schema(schema)
    for path in EXAMPLES:
        data = tomllib.loads(path.read_text())
        data["boat"]["surveyed"] = str(data["boat"]["surveyed"])
        jsonschema.validate(data, schema)
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({"boat": {"name": "x", "nmae": "y"}}, schema)


def test_start_writes_a_file_that_is_valid_with_and_without_its_comment_marks(tmp_path):
    blank = tmp_path / "boat.toml"
    assert elec("start", blank).returncode == 0
    read(blank)
    filled = tmp_path / "filled.toml"
    text = blank.read_text()
    filled.write_text(re.sub(r"^# (?=\[\[|[a-z_]+ = )", "", text, flags=re.M))
    boat = read(filled)
    assert {name for name, _ in boat.entries()} == set(type(boat).model_fields) - {"boat"}
    assert elec("start", blank).returncode == 2
    assert blank.read_text() == text


def test_walk_sheet(tmp_path):
    sheet = tmp_path / "sheet.txt"
    assert elec("start", sheet, "--sheet").returncode == 0
    text = sheet.read_text()
    assert "BATTERY SPACES" in text
    assert max(map(len, text.splitlines())) <= 90


@pytest.mark.parametrize(
    "arguments",
    [["survey"], ["survey", "--no-such"], ["nothing"], ["survey", "x.toml", "--json", "--csv"]],
)
def test_usage_errors_exit_2_without_a_traceback(arguments):
    result = elec(*arguments)
    assert result.returncode == 2
    assert "Traceback" not in result.stderr
    assert result.stdout == ""


def test_a_blank_boat_is_not_called_adequate(tmp_path):
    blank = tmp_path / "boat.toml"
    blank.write_text('[boat]\nname = "Nothing noted"\n')
    result = elec("survey", blank)
    assert result.returncode == 3
    assert "Nothing" in result.stdout


def test_words_of_a_boat_file_cannot_run_in_terminal_or_spreadsheet(tmp_path):
    boat = tmp_path / "boat.toml"
    boat.write_text(
        '[boat]\nname = "=cmd()\\u001b[31m"\n[[bank]]\nid = "b"\nwhere = "@x\\u0007"\n'
        'voltage = "24 V"\nchemistry = "agm"\ncapacity = "100 Ah"\n'
        '[[dc_load]]\nid = "l"\ncurrent = "2 A"\nwhen = ["anchor"]\n'
    )
    for form in ("--csv", "--markdown", "--brief"):
        out = elec("survey", boat, form).stdout
        assert "\x1b" not in out
        assert "\x07" not in out
    rows = list(csv.reader(io.StringIO(elec("survey", boat, "--csv").stdout)))
    assert all(cell[:1] not in "=+@" for row in rows for cell in row if cell)
