"""A second bank joined by a link counts in the largest fault, whatever was noted of the link."""

import pytest

from made import surveyed


def bank(name, amps, **changes):
    return {"id": name, "voltage": "12 V", "chemistry": "agm", "short_circuit": amps} | changes


def line(name, start, end, **changes):
    whole = {"id": name, "size": "2/0 AWG", "length": "1 m", "from": start, "to": end} | changes
    return {name: value for name, value in whole.items() if value is not None}


def judged(only="interrupting", *, breaks="3000 A", bank_b=None, **changes):
    """Two banks of 2,000 A and 4,000 A, each at its bus, the buses linked."""
    lists = {
        "bank": [bank("A", "2000 A"), bank("B", "4000 A", **(bank_b or {}))],
        "bus": [{"id": "bus A"}, {"id": "bus B"}],
        "run": [
            line("lead A", "A", "bus A", length="0.5 m"),
            line("lead B", "B", "bus B", length="0.5 m", **changes.get("lead", {})),
            line("link", "bus A", "bus B", **changes.get("link", {})),
            line("pump", "bus A", None, size="10 AWG", current="10 A", length="3 m")
            | {"protection": "f", "insulation": "105 °C"},
        ],
        "protection": [
            {"id": "f", "device": "breaker", "rating": "20 A", "interrupting": breaks}
            | changes.get("device", {})
        ],
    }
    return surveyed(only, odd=True, **lists)


def both_A(emf, *, link_m=1.0, lead_b_m=0.5):
    """Kirchhoff: each bank by its resistance and cables of 67.43 mm² copper at 0 °C.

    A length of other metal is given as that of 67.43 mm² that resists the same.
    """
    per_m = 2 * 0.017241 * (1 - 0.00393 * 20) / 67.43
    by_a = emf / 2000
    by_b = emf / 4000 + (lead_b_m + link_m) * per_m
    behind = by_a + 0.5 * per_m
    return emf / behind + emf / by_b


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"bank_b": {"voltage": "12V"}},
        {"bank_b": {"voltage": "12.0 V"}},
        {"link": {"insulation": "50 °C"}},  # below every column of 33 CFR 183.425, Table 5
    ],
)
def test_the_way_in_which_it_was_noted_makes_no_difference(changes):
    (found,) = judged(**changes).findings
    # AGM full at 12.7 to 13.2 V, as republished
    assert found.value.low == pytest.approx(both_A(12.7), rel=2e-3)
    assert found.value.high == pytest.approx(both_A(13.2), rel=2e-3)
    assert (found.verdict, found.priority) == ("inadequate", "A")


@pytest.mark.parametrize(
    ("changes", "metres", "named"),
    [
        ({"link": {"size": "?"}}, {"link_m": 0}, "link"),
        ({"lead": {"size": "?"}}, {"lead_b_m": 0}, "lead B"),
    ],
)
def test_a_cable_that_cannot_be_judged_may_resist_nothing(changes, metres, named):
    (found,) = judged(**changes).findings
    assert found.value.high == pytest.approx(both_A(13.2, **metres), rel=2e-3)
    assert found.verdict in ("undetermined", "inadequate")
    assert any(f"'{named}'" in note and "resist nothing" in note for note in found.notes)
    assert judged(breaks="6 kA", **changes).findings[0].verdict in ("adequate", "marginal")


@pytest.mark.parametrize(
    ("changes", "metres"),
    [
        ({"link": {"size": "300 mm²"}}, {"link_m": 67.43 / 300}),
        ({"lead": {"size": "300 mm²"}}, {"lead_b_m": 0.5 * 67.43 / 300}),
    ],
)
def test_a_size_beyond_the_ampacity_table_gives_all_the_more_by_its_own_metal(changes, metres):
    result = judged(**changes)
    (found,) = result.findings
    assert found.value.high == pytest.approx(both_A(13.2, **metres), rel=2e-3)
    assert found.value.low == pytest.approx(both_A(12.7, **metres), rel=2e-3)
    assert found.verdict == "inadequate"
    assert not any("size" in item.what for item in result.go_back)


@pytest.mark.parametrize("ends", [{"from": None}, {"to": None}])
def test_a_run_of_which_an_end_was_not_noted_may_join_the_other_bank(ends):
    result = judged(link=ends)
    (said,) = result.not_checked
    assert "'B' may add" in said.reason
    assert "'link'" in said.read
    assert result.exit_code == 3
    assert judged(breaks="1900 A", link=ends).findings[0].verdict == "inadequate"


def test_a_bank_of_unknown_voltage_that_is_joined_is_asked_for():
    result = judged(bank_b={"voltage": "?"})
    assert not result.findings
    assert "'B'" in result.not_checked[0].read


def test_the_smallest_fault_is_not_passed_without_a_bank_that_is_joined():
    opens = {"device": {"opens": ["135 % in 60 s"]}}
    assert judged("smallest-fault", **opens).findings[0].verdict == "adequate"
    result = judged("smallest-fault", link={"size": "300 mm²"}, **opens)
    assert not result.findings
    assert "'B'" in result.not_checked[0].reason
    assert result.exit_code == 3
