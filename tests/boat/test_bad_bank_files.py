"""Broken notes on banks and timetables: each fault told once, with its line and remedy."""

import pytest

from elec.errors import BoatFileError
from made import from_text

HEAD = '[boat]\nname = "Test"\nsurveyed = 2026-05-20\n'
BANK = (
    '[[bank]]\nid = "b"\nvoltage = "12 V"\nchemistry = "agm"\ncapacity = "200 Ah"\nrate = "20 h"\n'
)


def period(name, start, end, extra="", condition="anchor"):
    return (
        f'[[period]]\nid = "{name}"\ncondition = "{condition}"\n'
        f'start = "{start}"\nend = "{end}"\n{extra}'
    )


#: name: (file, words of its one message)
TEXTS = {
    "a timetable that overlaps": (
        HEAD + period("one", "0 h", "12 h") + period("two", "10 h", "20 h"),
        ("10", "period 'two', start", "within the period before it", "12 h"),
    ),
    "a timetable with hours left out": (
        HEAD + period("one", "0 h", "12 h") + period("two", "14 h", "20 h"),
        ("period 'two', start", "leaves the hours from 12 h out"),
    ),
    "a timetable that begins late": (
        HEAD + period("one", "6 h", "12 h"),
        ("period 'one', start", "leaves the hours from 0 h out"),
    ),
    "a period that ends before it begins": (
        HEAD + period("one", "0 h", "12 h") + period("two", "12 h", "9 h"),
        ("period 'two', end", "not after its start"),
    ),
    "a period of a condition that is not": (
        HEAD + period("one", "0 h", "12 h", condition="anchr"),
        ("period 'one', condition", "Did you mean 'anchor'?"),
    ),
    "an hour that is a range": (
        HEAD + period("one", "0 h", "12..14 h"),
        ("period 'one', end", "no single hour"),
    ),
    "a generator longer than its period": (
        HEAD + period("one", "0 h", "12 h", 'generator = "13 h"\n'),
        ("period 'one', generator", "longer than the period"),
    ),
    "a timetable of years": (
        HEAD + period("one", "0 h", "800 days"),
        ("period 'one', end", "At most"),
    ),
    "an inverter with loads and none of several banks": (
        HEAD
        + BANK
        + BANK.replace('"b"', '"c"')
        + '[[inverter]]\nid = "i"\n[[ac_load]]\nid = "k"\ninlet = "i"\nhours = "1 h"\n',
        ("inverter 'i', bank", "missing, and there are several banks", "b, c"),
    ),
    "more hours of an AC load than a day has": (
        HEAD + BANK + '[[ac_load]]\nid = "k"\nhours = "25 h"\n',
        ("ac_load 'k', hours", "more than a day has"),
    ),
    "reserve and rated capacity of two batteries": (
        # the one corrupt row of a published table: 140 min at 25 A with 43 Ah
        HEAD + BANK.replace("200 Ah", "43 Ah") + 'reserve = "140 min"\n',
        ("bank 'b', reserve", "does not go with a capacity of 43 Ah"),
    ),
    "a string from the future": (
        HEAD + BANK + "[[bank.string]]\nyear = 2031\n",
        ("bank 'b', string", "2031 is after the survey"),
    ),
    "a negative duty": (
        HEAD + BANK + '[[dc_load]]\nid = "l"\nbank = "b"\ncurrent = "3 A"\nduty = "-10 %"\n',
        ("dc_load 'l', duty", "-10 %"),
    ),
    "a duty over the whole time": (
        HEAD + BANK + '[[dc_load]]\nid = "l"\nbank = "b"\ncurrent = "3 A"\nduty = "120 %"\n',
        ("dc_load 'l', duty", "120 %"),
    ),
    "a chemistry that is none": (
        HEAD + BANK.replace('"agm"', '"lifepo4"'),
        ("bank 'b', chemistry", "lfp"),
    ),
    "a charger for another voltage": (
        HEAD + BANK + '[[charger]]\nid = "c"\nbank = "b"\nvoltage = "24 V"\n',
        ("charger 'c', voltage", "24 V on the 12 V bank 'b'"),
    ),
    "a capacity in amperes": (
        HEAD + BANK.replace("200 Ah", "200 A"),
        ("bank 'b', capacity", "'200 A' is a current"),
    ),
}


for field, value, words in (
    ("capacity", "0..200 Ah", "zero"),
    ("rate", "0 h", "zero"),
    ("remaining", "0 %", "zero"),
    ("usable", "0..50 %", "zero"),
    ("autonomy", "0 h", "zero"),
    ("reserve", "0 min", "zero"),
    ("charge_return", "90 %", "less than was taken out"),
):
    lines = [line for line in BANK.splitlines() if not line.startswith(f"{field} =")]
    TEXTS[f"bank, {field} = {value}"] = (
        HEAD + "\n".join([*lines, f'{field} = "{value}"\n']),
        (f"bank 'b', {field}", value, words),
    )
for list_name, field, value, words in (
    ("charger", "current", "0 A", "zero"),
    ("alternator", "converter", "0 A", "zero"),
    ("inverter", "efficiency", "0 %", "zero"),
    ("dc_load", "hours", "30 h", "more than a day"),
    ("solar", "sun", "25 h", "more than a day"),
):
    TEXTS[f"{list_name}, {field} = {value}"] = (
        f'{HEAD}{BANK}[[{list_name}]]\nid = "x"\nbank = "b"\n{field} = "{value}"\n',
        (f"{list_name} 'x', {field}", value, words),
    )
TEXTS["generator, hours = 30 h"] = (
    f'{HEAD}[[generator]]\nid = "x"\nhours = "30 h"\n',
    ("generator 'x', hours", "more than a day"),
)


@pytest.mark.parametrize("name", TEXTS)
def test_one_fault_told_once(name):
    text, words = TEXTS[name]
    with pytest.raises(BoatFileError) as caught:
        from_text(text)
    (fault,) = caught.value.faults
    for word in words:
        assert word in str(caught.value)
    assert fault.line is not None


def test_a_sound_timetable_is_read():
    boat = from_text(HEAD + period("one", "0 h", "12 h") + period("two", "12 h", "1 day"))
    assert [p.id for p in boat.period] == ["one", "two"]


def test_a_date_code_of_any_form_may_be_noted():
    boat = from_text(HEAD + BANK + '[[bank.string]]\ndate_code = "XQ-77"\n')
    assert boat.bank[0].string[0].date_code == "XQ-77"
