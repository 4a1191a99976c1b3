"""The two example quotes beside their boat: every planted fault found, none invented.

The faults were planted by hand in ``examples/quotes/ostrelline_faulty.quote.toml``; what is
expected follows from the boat file and from decimal arithmetic done by hand. Limits named beside
the checks are from the published tables that the survey cites.
"""

from __future__ import annotations

import csv
import io
import json
from decimal import Decimal

import jsonschema
import pytest

from elec.errors import BoatFileError
from elec.json_form import as_json
from elec.quote.judging import judge_quote
from elec.quote.place import check_names
from elec.quote.read import read
from elec.quote.schema import quote_schema
from elec.report import quote
from elec.survey import survey
from made import EXAMPLES, example

QUOTES = EXAMPLES / "quotes"


@pytest.fixture(scope="module")
def boat():
    return example("ostrelline")


@pytest.fixture(scope="module")
def before(boat):
    return survey(boat)


@pytest.fixture(scope="module")
def good(boat, before):
    return judge_quote(read(QUOTES / "ostrelline_refit.quote.toml"), boat, before=before)


@pytest.fixture(scope="module")
def faulty(boat, before):
    return judge_quote(read(QUOTES / "ostrelline_faulty.quote.toml"), boat, before=before)


# -- the good one ----------------------------------------------------------------------------


def test_good_quote_has_no_slip(good):
    assert good.sums.slips == ()
    assert good.sums.total_right == good.sums.total_printed == Decimal("11719.55")


def test_good_quote_raises_no_finding_of_its_own(good):
    assert good.made == ()
    assert [f for f in good.findings if f.verdict != "adequate"] == []
    assert good.fitted.left == ()
    assert good.remarks == ()


def test_good_quote_cures(good):
    effects = {(c.finding.check, c.finding.subject): c.effect for c in good.changes}
    # 330 A over 2 x 15 m at 24 V: 2/0 AWG drops 10.9 %, 3/0 AWG 8.7 % by the circular-mil formula
    assert effects["run-drop", "bow thruster"] == "cures"
    assert effects["bank-autonomy", "house bank"] == "cures"
    assert effects["bank-mix", "house bank"] == "cures"
    assert effects["bank-rings", "house bank"] == "cures"
    assert effects["bank-restraint", "house bank"] == "settles"
    assert effects["inlet-load", "house"] == "leaves"


# -- the faulty one --------------------------------------------------------------------------

SLIPS = {
    "line '1'": (Decimal("7410.00"), Decimal("7140.00"), "swapped"),  # 5 x 1428.00
    "line '3'": (Decimal("348.00"), Decimal("174.00"), "pairs"),  # 3 x 58.00
    "line '6'": (Decimal("1460.00"), Decimal("146.00"), "decimal mark"),  # 1 x 146.00
    "line '10'": (Decimal("89.73"), Decimal("294.40"), "foot"),  # 64 x 4.60
    # 2361.80 + 638.00 + 1460.00 + 57.60 + 57.60
    "the subtotal 'Cables'": (Decimal("4755.00"), Decimal("4575.00"), "swapped"),
    # 9648.00 + 4575.00 + 7739.73
    "the subtotal of all lines": (Decimal("22160.40"), Decimal("21962.73"), ""),
    # 21 % of 22160.40 + 2216.04; printed is 21 % of 22160.40
    "the tax": (Decimal("4653.68"), Decimal("5119.05"), "lines alone"),
    # 22160.40 + 2216.04 + 4653.68
    "the total": (Decimal("29300.12"), Decimal("29030.12"), "swapped"),
}


@pytest.mark.parametrize("place", SLIPS)
def test_planted_slip(faulty, place):
    printed, computed, likely = SLIPS[place]
    slip = next(s for s in faulty.sums.slips if s.place == place)
    assert (slip.printed, slip.computed) == (printed, computed)
    assert likely in slip.likely
    assert slip.file_line
    assert any(str(slip.statement) in q for q in faulty.questions)


def test_no_slip_but_the_planted(faulty):
    assert {s.place for s in faulty.sums.slips if s.certain} == set(SLIPS)


def test_what_follows_from_a_wrong_line_is_said(faulty):
    follows = next(s for s in faulty.sums.slips if s.place == "line '1'").follows
    assert any("subtotal 'Batteries'" in f and "9,204.00" in f for f in follows)
    cables = next(s for s in faulty.sums.slips if s.place == "the subtotal 'Cables'")
    assert cables.follows == (
        "It is carried into: subtotal of all lines, contingency, tax, total.",
    )


def test_everything_put_right(faulty):
    # 7140.00 + 1890 + 174 + 2361.80 + 638 + 146 + 57.60 + 57.60 + 7650 + 294.40 = 20409.40;
    # and 10 %: 22450.34; and 21 %: 4714.57
    assert faulty.sums.total_right == Decimal("27164.91")


def test_charged_twice(faulty):
    assert [s.place for s in faulty.sums.slips if s.kind == "twice"] == ["line '8'"]


@pytest.mark.parametrize(
    ("check", "subject", "effect"),
    [
        # 200 A charger of 6.2 kVA on an inlet that was over its rating before
        pytest.param("inlet-load", "house", "worsens", id="charger outgrows the inlet"),
        pytest.param("run-drop", "bow thruster", "worsens", id="cable smaller than the old"),
        # 600 A on 2/0 AWG: 150 % of 330 A is 495 A, 33 CFR 183.455(c)(1)
        pytest.param("run-protection", "windlass", "makes", id="breaker outgrows the cable"),
        pytest.param("charger-profile", "charger", "makes", id="lead profile on lithium"),
        pytest.param("lithium", "house bank", "opens", id="no management system stated"),
        pytest.param("run-ampacity", "bow thruster", "opens", id="330 A on 1/0 AWG"),
    ],
)
def test_what_the_quote_makes(faulty, check, subject, effect):
    change = next(
        c for c in faulty.changes if (c.finding.check, c.finding.subject) == (check, subject)
    )
    assert change.effect == effect
    assert any(change.finding.statement in q for q in faulty.questions)


@pytest.mark.parametrize(
    ("check", "subject"),
    [
        ("quote-length", "line 5"),  # 14.5 m for a run of 14 m one way: one conductor
        ("quote-count", "line 1"),  # 5 batteries for 2 x 3
        ("quote-omission", "line 1: management system"),
        ("quote-omission", "line 1: monitor"),
        ("quote-omission", "line 2: fuse"),
        ("quote-omission", "quote: commissioning"),
        ("quote-omission", "quote: drawings"),
        ("quote-omission", "quote: disposal"),
    ],
)
def test_missing_or_short(faulty, check, subject):
    finding = next(f for f in faulty.findings if (f.check, f.subject) == (check, subject))
    assert finding.verdict in ("inadequate", "undetermined")
    assert finding.priority in ("A", "B", "C")
    assert any(finding.statement in q for q in faulty.questions)


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        ("length", "fits feet"),  # 98 m for 2 x 15 m, which is 98.4 ft
        ("labour", "90 h"),
        ("more than needed", "twice the time asked"),
        ("already adequate", "'windlass'"),
    ],
)
def test_remarks(faulty, kind, words):
    assert any(r.kind == kind and words in r.statement for r in faulty.remarks)


def test_what_the_quote_has_is_not_called_missing(faulty):
    missing = {f.subject.rpartition(": ")[2] for f in faulty.findings if "omission" in f.check}
    assert missing.isdisjoint({"lug", "hold-down", "labour"})


# -- forms -----------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["refit", "faulty"])
def test_toml_and_csv_give_the_same(name, good, faulty, boat, before):
    first = as_json({"refit": good, "faulty": faulty}[name])
    sheet = read(QUOTES / f"ostrelline_{name}.quote.csv")
    second = as_json(judge_quote(sheet, boat, before=before))
    for document in (first, second):
        for slip in document["sums"]["slips"]:
            slip["file_line"] = None
    assert first == second


def test_json_is_the_same_bytes_and_complete(faulty):
    text = quote.as_json(faulty)
    assert text == quote.as_json(faulty)
    document = json.loads(text)
    assert document["sums"]["total_right"] == "27164.91"
    assert document["questions"]
    assert document["not_checked"] is not None
    assert {f["check"] for f in document["findings"]} >= {"quote-length", "quote-omission"}


def test_text_fits_eighty_columns(good, faulty):
    for judged in (good, faulty):
        text = quote.as_text(judged)
        assert [line for line in text.splitlines() if len(line) > 80] == []
        assert "QUESTIONS TO THE YARD" in text
    assert "Every sum is right." in quote.as_text(good)


def test_markdown_numbers_the_questions(faulty):
    text = quote.as_markdown(faulty)
    assert f"\n{len(faulty.questions)}. " in text.partition("## Questions")[2]


def test_exit_codes(good, faulty):
    # the good quote leaves the inlet over its rating, as it was
    assert good.exit_code == faulty.exit_code == 1


def test_schema_accepts_the_examples():
    import tomllib

    schema = json.loads(quote_schema())
    jsonschema.Draft202012Validator.check_schema(schema)
    for path in QUOTES.glob("*.toml"):
        data = tomllib.loads(path.read_text(encoding="utf-8"))
        data["quote"]["date"] = data["quote"]["date"].isoformat()
        jsonschema.validate(data, schema)


# -- hostile words ---------------------------------------------------------------------------


@pytest.fixture(scope="module")
def hostile(tmp_path_factory, boat, before):
    path = tmp_path_factory.mktemp("quote") / "q.csv"
    path.write_text(
        "line,description,qty,unit,rate,amount\n"
        '1,"=HYPERLINK(""http://x"")",2,each,1.50,3.10\n2,@SUM(A1),1,each,2.00,2.00\n'
        "3,-2+3,1,each,2.00,2.00\n4,\x1b[31mred|<b>,1,each,2.00,2.10\n",
        encoding="utf-8",
    )
    return judge_quote(read(path), boat, before=before)


def test_cells_that_a_spreadsheet_would_run_are_neutralised(hostile):
    rows = list(csv.reader(io.StringIO(quote.as_csv(hostile))))
    assert len({len(row) for row in rows}) == 1
    for row in rows:
        for cell in row:
            assert cell[:1] not in ("=", "+", "@")
            assert cell[:1] != "-"
            assert "\x1b" not in cell


def test_control_characters_are_not_shown(hostile):
    for text in (quote.as_text(hostile), quote.as_markdown(hostile)):
        assert "\x1b" not in text
    assert "<b>" not in quote.as_markdown(hostile).replace("\\<b\\>", "")


def test_names_not_aboard_are_refused_with_the_nearest(tmp_path, boat):
    path = tmp_path / "q.toml"
    path.write_text('[[line]]\nid = "1"\ntext = "Cable"\nreplaces = "bow truster"\n')
    with pytest.raises(BoatFileError, match="Did you mean 'bow thruster'"):
        check_names(read(path), boat, "q.toml")
