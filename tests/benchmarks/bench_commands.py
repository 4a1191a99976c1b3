"""Time of the commands, as ratios within one run; writes a Markdown table.

Run by hand: ``python tests/benchmarks/bench_commands.py [ROUNDS]``. Every round runs each process
once, ours and its yardstick in turn, so that a busy machine slows both alike; the ratio is the
median over the rounds. Compiled modules are kept, in a folder of the run's own, whatever the
environment says: an installed command finds its own compiled. A survey is set beside a bare
process that imports numpy, which took 0.064 s where 1.5 s was asked: 23 x.
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

EXAMPLES = sorted((Path(__file__).resolve().parents[2] / "examples").glob("*.toml"))
ELEC = (str(Path(sys.executable).with_name("elec")),)
PYTHON = (sys.executable, "-c")
SURVEYS = 5

BARE = """
import typer
app = typer.Typer()
@app.command()
def hello(name: str = "x") -> None:
    print(name)
app()
"""
PLAIN = BARE.replace("Typer()", "Typer(rich_markup_mode=None, add_completion=False)")
#: What a command that sizes one run does: reads two values, looks up two cells, calculates.
SINGLE = """
import typer
app = typer.Typer(rich_markup_mode=None, add_completion=False)
@app.command()
def drop(current: str, length: str) -> None:
    from elec import noted, units
    from elec.calc import conductors
    from elec.published import table
    amperes, metres = noted.read(current, "current"), noted.read(length, "length")
    area = table("awg_geometry_computed").exact("area_cmil", size_AWG="2")
    ampacity = table("cfr183_table5_ampacity").exact("ampacity_A_at_insulation_105C", size_AWG="2")
    volts = conductors.drop_circular_mil_V(
        amperes.high, length_one_way_m=metres.high, area_cmil=area, k_ohm_cmil_per_ft=10.75
    )
    print(units.show(float(volts), "voltage"), ampacity >= amperes.high)
app()
"""
CABLE = ("--current", "80A", "--length", "12m", "--volts", "12V", "--insulation", "105C")
YARDSTICK = """
import sys, typer, numpy, pint
app = typer.Typer(rich_markup_mode=None, add_completion=False)
@app.command()
def drop(current: str, length: str) -> None:
    registry = pint.UnitRegistry(cache_folder=sys.argv[-1])
    print(registry.Quantity(length).to("m"), numpy.float64(1.0))
app(sys.argv[1:3])
"""


def seconds(command: tuple[str, ...], environment: dict[str, str]) -> float:
    """Return the wall time of one process; it must not fail for want of input."""
    start = time.perf_counter()
    done = subprocess.run(command, env=environment, capture_output=True, text=True, check=False)
    spent = time.perf_counter() - start
    if done.returncode not in (0, 1, 3):
        sys.exit(f"{' '.join(command[:2])} ended with {done.returncode}:\n{done.stderr}")
    return spent


def processor_seconds() -> float:
    """Return the processor time of all processes run so far; a busy machine hardly moves it."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def timed(command: tuple[str, ...], environment: dict[str, str]) -> tuple[float, float]:
    """Return the wall time and the processor time of one process."""
    before = processor_seconds()
    wall = seconds(command, environment)
    return wall, processor_seconds() - before


def main() -> None:
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 15
    with tempfile.TemporaryDirectory() as home:
        environment = {**os.environ, "HOME": home, "XDG_CACHE_HOME": home}
        environment |= {"PYTHONDONTWRITEBYTECODE": "", "PYTHONPYCACHEPREFIX": f"{home}/compiled"}
        values = ("80 A", "40 ft")
        pairs = [
            (
                "`elec --help`",
                (*ELEC, "--help"),
                "bare typer, help",
                (*PYTHON, BARE, "--help"),
                1.3,
            ),
            (
                "`elec --help`",
                (*ELEC, "--help"),
                "bare typer, plain help",
                (*PYTHON, PLAIN, "--help"),
                None,
            ),
            (
                "one calculation",
                (*PYTHON, SINGLE, *values),
                "typer, numpy, cached registry",
                (*PYTHON, YARDSTICK, *values, home),
                1.5,
            ),
            (
                "`elec cable`",
                (*ELEC, "cable", *CABLE),
                "typer, numpy, cached registry",
                (*PYTHON, YARDSTICK, *values, home),
                1.5,
            ),
        ]
        print("| ours | ms | yardstick | ms | ratio | target |")
        print("|---|---:|---|---:|---:|---:|")
        for ours, command, yardstick, other, target in pairs:
            seconds(command, environment), seconds(other, environment)
            runs = [
                (seconds(command, environment), seconds(other, environment)) for _ in range(rounds)
            ]
            mine, theirs = (statistics.median(side) * 1000 for side in zip(*runs, strict=True))
            ratio = statistics.median(a / b for a, b in runs)
            print(
                f"| {ours} | {mine:.0f} | {yardstick} | {theirs:.0f} | {ratio:.2f} | "
                f"{f'at most {target}' if target else ''} |"
            )
        print("\n| survey | s | s of processor | x import of numpy | of processor | target |")
        print("|---|---:|---:|---:|---:|---:|")
        for boat in EXAMPLES:
            command, bare = (*ELEC, "survey", str(boat)), (*PYTHON, "import numpy")
            timed(command, environment), timed(bare, environment)
            ours, theirs = zip(
                *((timed(command, environment), timed(bare, environment)) for _ in range(SURVEYS)),
                strict=True,
            )
            wall, used = map(statistics.median, zip(*ours, strict=True))
            times, used_times = (
                statistics.median(a / b for a, b in zip(mine, bares, strict=True))
                for mine, bares in zip(
                    zip(*ours, strict=True), zip(*theirs, strict=True), strict=True
                )
            )
            print(
                f"| `{boat.name}` | {wall:.2f} | {used:.2f} | {times:.1f} | {used_times:.1f} | "
                "at most 1.5 s, 23 x |"
            )


if __name__ == "__main__":
    main()
