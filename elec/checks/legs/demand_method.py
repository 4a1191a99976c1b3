"""The demand method for boats: which gear plays which part, and the sum by leg."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from elec import units
from elec.boat.ac_loads import AcDraw, Service
from elec.boat.typical import gear
from elec.calc.ac import demand
from elec.checks.legs.leg_load import LegLoad
from elec.published import Source, table

__all__ = ["Method", "Parts", "Roles", "boat_method", "sorted_by_role"]


@dataclass(frozen=True)
class Roles:
    """Places of the loads by the part they play; ``use`` is the factor of each fixed appliance."""

    general: tuple[int, ...]
    circuits: tuple[int, ...]
    portable: tuple[int, ...]
    range: tuple[int, ...]
    cooling: tuple[int, ...]
    heating: tuple[int, ...]
    motors: tuple[int, ...]
    fixed: tuple[int, ...]
    whole: tuple[int, ...]
    use: tuple[float, ...]

    def circuit_count(self, draws: Sequence[AcDraw]) -> int:
        """Return the number of small-appliance circuits."""
        return sum(draws[i].load.count for i in self.circuits)


def sorted_by_role(draws: Sequence[AcDraw]) -> Roles:
    """Sort loads by the catalogue's use factor and the table of roles; the rest counts in full."""
    roles = {row["kind"]: row["role"] for row in table("ac_demand_roles").rows()}
    factors = table("abyc_use_factors")
    places: dict[str, list[int]] = {}
    use: list[float] = []
    for place, one in enumerate(draws):
        known = gear(one.load.kind, "ac")
        role = roles.get(known.kind) if known else None
        appliance = known.row["use_factor_appliance"] if known else ""
        if role is None and appliance:
            role = "fixed"
            use.append(factors.exact("use_factor_pct", appliance=appliance) / 100)
        if role is None:
            role = "motor" if one.behaviour == "motor" else "whole"
        places.setdefault(role, []).append(place)

    def of(role: str) -> tuple[int, ...]:
        return tuple(places.get(role, ()))

    return Roles(
        general=of("general"),
        circuits=of("small-appliance circuit"),
        portable=of("portable"),
        range=of("range"),
        cooling=of("cooling"),
        heating=of("heating"),
        motors=of("motor"),
        fixed=of("fixed"),
        whole=of("whole"),
        use=tuple(use),
    )


@dataclass(frozen=True)
class Parts:
    """Demand by part; legs on the last axis, ``adrift_A`` of loads of unknown leg."""

    general_VA: Any
    general_A: Any
    range_A: Any
    fixed_A: Any
    nameplate_A: Any
    motor_extra_A: Any
    total_A: Any
    adrift_A: Any
    heaviest_A: Any


@dataclass(frozen=True)
class Method:
    """The numbers of the method, from its table."""

    instrument: str
    VA_per_ft2: float
    VA_per_m2: float
    circuit_VA: float
    full_to_VA: float
    remainder: float
    two_legs_V: float
    one_leg_V: float
    motor_share: float
    group_factor: float
    group_minimum: int
    sources: tuple[Source, ...]

    def volts(self, service: Service) -> float:
        """Return the voltage that divides the general load."""
        return self.two_legs_V if len(service.legs) > 1 else self.one_leg_V

    def demand(
        self,
        amps: Sequence[Any],
        draws: Sequence[AcDraw],
        roles: Roles,
        service: Service,
        area_m2: Any,
        uneven: Any,
        *,
        metric: bool = False,
    ) -> Parts:
        """Return the demand of loads of ``amps`` each (all pieces together)."""
        amps = [np.asarray(a, dtype=np.float64) for a in np.broadcast_arrays(*amps, uneven)[:-1]]
        density, unit = (self.VA_per_m2, "m²") if metric else (self.VA_per_ft2, "ft²")
        general_VA = demand.general_load_VA(
            np.asarray(area_m2) / units.to_base(1.0, unit, "surface"),
            VA_per_area=density,
            circuits=roles.circuit_count(draws),
            circuit_VA=self.circuit_VA,
        )
        # Leg by leg the larger of heating and cooling: never less than leaving out the smaller sum.
        cool = self._sums(amps, draws, roles.cooling, service)
        heat = self._sums(amps, draws, roles.heating, service)
        climate = [np.maximum(*each) for each in zip(cool, heat, strict=True)]
        other = self._sums(amps, draws, (*roles.motors, *roles.whole), service)
        fixed, fixed_adrift = self._fixed(amps, draws, roles, service, uneven)
        motor, motor_adrift = self._motor(amps, draws, roles, service, cool, heat)
        answer = demand.leg_demand_A(
            general_VA,
            supply_V=self.volts(service),
            breakpoints_VA=self.full_to_VA,
            factors=[1.0, self.remainder],
            fixed_A=fixed,
            range_VA=self._range_VA(amps, draws, roles),
            nameplate_A=climate[0] + other[0],
            motor_extra_A=motor,
        )
        adrift = climate[1] + other[1] + fixed_adrift + motor_adrift
        legs = {leg: answer.total_A[..., place] for place, leg in enumerate(service.legs)}
        return Parts(
            general_VA,
            answer.general_A,
            answer.range_A,
            answer.fixed_A,
            answer.nameplate_A,
            answer.motor_extra_A,
            answer.total_A,
            adrift,
            LegLoad.heaviest_of({"uneven": uneven}, legs, adrift),
        )

    def _sums(
        self, amps: Sequence[Any], draws: Sequence[AcDraw], places: Sequence[int], service: Service
    ) -> tuple[Any, Any]:
        """Return the sums by leg, and of loads of unknown leg."""
        nothing = np.zeros_like(amps[0])
        legs = [
            sum((amps[i] for i in places if leg in draws[i].legs), nothing) for leg in service.legs
        ]
        return np.stack(legs, axis=-1), sum((amps[i] for i in places if not draws[i].legs), nothing)

    def _fixed(
        self,
        amps: Sequence[Any],
        draws: Sequence[AcDraw],
        roles: Roles,
        service: Service,
        uneven: Any,
    ) -> tuple[Any, Any]:
        factor = dict(zip(roles.fixed, roles.use, strict=True))
        known = [i for i in roles.fixed if draws[i].legs]
        floating = [i for i in roles.fixed if not draws[i].legs]
        nothing = np.zeros_like(amps[0])
        adrift = sum((amps[i] * factor[i] for i in floating), nothing)
        # unknown legs may or may not complete a group: as a group where shared, singly where not
        blend = self.group_factor + np.asarray(uneven) * (1 - self.group_factor)
        if len(roles.fixed) >= self.group_minimum:
            adrift = adrift * blend
        if not known:
            return np.stack([nothing for _ in service.legs], axis=-1), adrift
        answers = [
            demand.fixed_appliances_A(
                np.stack([amps[i] for i in known], axis=-1),
                use_factor=[factor[i] for i in known],
                on_leg=[[leg in draws[i].legs for leg in service.legs] for i in known],
                group_minimum=self.group_minimum - extra,
                group_factor=self.group_factor,
            )
            for extra in {0, len(floating)}
        ]
        if len(answers) == 1:
            return answers[0], adrift
        low, high = np.minimum(*answers), np.maximum(*answers)
        return low + np.asarray(uneven)[..., None] * (high - low), adrift

    def _motor(
        self,
        amps: Sequence[Any],
        draws: Sequence[AcDraw],
        roles: Roles,
        service: Service,
        cool: tuple[Any, Any],
        heat: tuple[Any, Any],
    ) -> tuple[Any, Any]:
        """Return the allowance for the largest motor that counts: not of what was left out."""
        nothing = np.zeros_like(amps[0])

        def largest(places: Sequence[int], leg: str | None) -> Any:
            each = [
                amps[i] / draws[i].load.count
                for i in places
                if draws[i].behaviour == "motor"
                and (leg in draws[i].legs if leg else not draws[i].legs)
            ]
            return demand.largest_motor_extra_A(
                np.stack([nothing, *each], -1), fraction=self.motor_share
            )

        def extra(leg: str | None, cool_A: Any, heat_A: Any) -> Any:
            counted = [
                largest(roles.motors, leg),
                np.where(cool_A >= heat_A, largest(roles.cooling, leg), 0.0),
                np.where(heat_A >= cool_A, largest(roles.heating, leg), 0.0),
            ]
            return np.maximum.reduce(counted)

        legs = [
            extra(leg, cool[0][..., place], heat[0][..., place])
            for place, leg in enumerate(service.legs)
        ]
        return np.stack(legs, axis=-1), extra(None, cool[1], heat[1])

    def _range_VA(self, amps: Sequence[Any], draws: Sequence[AcDraw], roles: Roles) -> Any:
        bands = table("range_demand")
        total: Any = np.zeros_like(amps[0])
        for i in roles.range:
            total = total + demand.range_demand_VA(
                np.maximum(amps[i] * draws[i].rated_V, 1e-9),
                over_W=bands.numbers("nameplate_over_W"),
                to_W=bands.numbers("nameplate_to_W"),
                use_VA=bands.numbers("use_VA"),
                use_fraction=bands.numbers("use_fraction_of_rating"),
            )
        return total


def boat_method() -> Method:
    """Return the method for boats as the tables hold it, the user's own first."""
    methods = table("ac_load_method_comparison")
    row = methods.row(method="boat")

    def number(column: str) -> float:
        return methods.exact(column, method="boat")

    return Method(
        instrument=row["instrument"],
        VA_per_ft2=number("lighting_VA_per_ft2"),
        VA_per_m2=number("lighting_VA_per_m2"),
        circuit_VA=number("small_appliance_circuit_VA"),
        full_to_VA=number("demand_in_full_to_VA"),
        remainder=number("demand_remainder_pct") / 100,
        two_legs_V=number("supply_V"),
        one_leg_V=number("supply_other_V"),
        motor_share=number("largest_motor_extra_pct") / 100,
        group_factor=number("group_factor_pct") / 100,
        group_minimum=int(number("group_factor_count_min")),
        sources=(
            methods.source(method="boat"),
            table("abyc_use_factors").source(),
            table("range_demand").source(),
        ),
    )
