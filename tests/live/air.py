"""Humid air after Herrmann, Kretzschmar and Gatley, and water after IAPWS-95, from CoolProp."""

import random

from CoolProp.CoolProp import HAPropsSI, PropsSI

from table import Limit, Table

HUMID = "CoolProp 8.0.0, HAPropsSI: ASHRAE RP-1485 humid air; seeded random states"
WATER = "CoolProp 8.0.0, PropsSI: IAPWS-95 water, pure phase, saturation line"

CIPM = "two equations of state with two molar masses of dry air; they differ by 4.0e-5 at most here"
FIT = "a fit, not the water line itself; its own distance from IAPWS-95 between 1 and 50 degC"


def tables() -> list[Table]:
    """Density of moist air, and the saturation formulas."""
    return [density(), saturation()]


def density() -> Table:
    chance = random.Random("moist air")
    table = Table(
        "moist-air",
        "moist-air-density",
        HUMID,
        {"temperature": "degC", "pressure": "hPa", "relative_humidity": "%", "=density": "kg/m3"},
        {"density": Limit(6e-5, "rel", CIPM)},
    )
    for _ in range(100):
        celsius = round(chance.uniform(15.0, 27.0), 3)
        pressure = round(chance.uniform(600.0, 1100.0), 2)
        humidity = round(chance.uniform(0.0, 100.0), 2)
        state = ("T", celsius + 273.15, "P", pressure * 100.0, "R", humidity / 100.0)
        table.rows.append({
            "temperature": str(celsius),
            "pressure": str(pressure),
            "relative_humidity": str(humidity),
            "=density": f"{1.0 / HAPropsSI('Vha', *state):.8f}",
        })
    return table


def saturation() -> Table:
    table = Table(
        "saturation",
        "saturation-vapour-pressure",
        WATER,
        {"temperature": "degC", "=wmo_water": "hPa", "=buck_1981": "hPa", "=buck_1996": "hPa"},
        {
            "wmo_water": Limit(4e-3, "rel", FIT),
            "buck_1981": Limit(2e-3, "rel", FIT),
            "buck_1996": Limit(6e-4, "rel", FIT),
        },
    )
    for celsius in range(1, 51):
        hpa = f"{PropsSI('P', 'T', celsius + 273.15, 'Q', 0, 'Water') / 100.0:.7f}"
        outputs = {"=wmo_water": hpa, "=buck_1981": hpa, "=buck_1996": hpa}
        table.rows.append({"temperature": str(celsius)} | outputs)
    return table
