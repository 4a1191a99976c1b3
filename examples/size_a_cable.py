"""Which cable for a 24 V windlass? The library used from a script, without the command line.

Run it with: python examples/size_a_cable.py
"""

from elec import units
from elec.calc.cables import conductors
from elec.judge import Input, Requirement, judge
from elec.published import table

constant = table("resistivity_constants").exact("value", name="ABYC K")
areas = table("conductor_area_awg_sae")
ampacity = table("cfr183_table5_ampacity")
current_A, volts, allowed = 85.0, 24.0, 0.10
length = units.read("46 ft", "length")

print(f"{current_A:g} A, {length:.1f} m one way, {volts:g} V, {allowed:.0%} allowed")
for size in ("6", "4", "2", "1/0"):
    drop_V = conductors.drop_circular_mil_V(
        current_A,
        length_one_way_m=length,
        area_cmil=areas.exact("AWG_area_cmil_NEC_ch9_t8", size=size),
        k_ohm_cmil_per_ft=constant,
    )
    most_A = ampacity.exact("ampacity_A_at_insulation_105C", size_AWG=size)
    print(f"{size:>4} AWG: {drop_V / volts:6.2%} drop, ampacity {most_A:g} A")


def drop(length_m, current_A):
    """Return the drop of the 2 AWG cable as a share of the voltage, and what is allowed."""
    drop_V = conductors.drop_circular_mil_V(
        current_A,
        length_one_way_m=length_m,
        area_cmil=areas.exact("AWG_area_cmil_NEC_ch9_t8", size="2"),
        k_ohm_cmil_per_ft=constant,
    )
    return drop_V / volts, allowed + 0 * drop_V


ruling = judge(
    Requirement(
        drop,
        (
            Input.between("length_m", 10.0, 14.0, 20.0, worse="higher"),
            Input.between("current_A", 80.0, 100.0, 150.0, worse="higher"),
        ),
        "at most",
    )
)
print(f"\n2 AWG with length and current only roughly known: {ruling.verdict}")
for point in ruling.turns_on:
    for _, high in point.adequate_if:
        print(f"  adequate if {point.input} is {high:.1f} or less, whatever the other")
