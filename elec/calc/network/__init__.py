"""The direct-current network and its faults."""

from elec.calc.network.network_parts import RETURN, Bank, ChargeSource, Load, Network, Run
from elec.calc.network.network_prepare import prepare
from elec.calc.network.network_solve import Solution, bank_shares, solve

__all__ = [
    "RETURN",
    "Bank",
    "ChargeSource",
    "Load",
    "Network",
    "Run",
    "Solution",
    "bank_shares",
    "prepare",
    "solve",
]
