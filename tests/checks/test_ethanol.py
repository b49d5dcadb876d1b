"""Ethanol and water against the alcoholometric tables, a chemists' handbook, US excise law, USDA and an oracle."""

from __future__ import annotations

from decimal import Decimal

import pytest
from CoolProp.CoolProp import PropsSI

from recipes.ethanol import (
    ETHANOL_G_ML,
    WATER_G_ML,
    density,
    freezing_point,
    grams_per_ml,
    mass_fraction,
    mixed_ml,
    volume_fraction,
)
from tests.checks.table import Row, table

OIML = "OIML R 22 (1975), general formula, worked out independently of this program"
PERRY = "Perry's Chemical Engineers' Handbook, 7th ed., ethanol-water at 20 degrees Celsius"
GAUGING = "27 CFR 30.64, TTB Gauging Manual, Table 4"
USDA = "USDA National Nutrient Database SR: alcohol by difference"
COOLPROP = "CoolProp, INCOMP::MEA (Melinder fit): the difference"

COLD = Decimal(0)
GALLON_ML = Decimal("3785.411784")
POUND_G = Decimal("453.59237")
AIR = Decimal("0.0012")  # g/mL: weighing in air, as excise law does
WEIGHTS = Decimal("8.0")  # g/mL: brass

STRENGTHS = [  # % vol, % mass, kg/m3 at 20 and at 0 degrees Celsius
    ("0", "0", "998.201", "999.837"),
    ("5", "3.982", "991.055", "992.841"),
    ("10", "8.015", "984.710", "987.117"),
    ("12", "9.641", "982.355", "985.158"),
    ("15", "12.093", "978.971", "982.529"),
    ("20", "16.214", "973.557", "978.754"),
    ("30", "24.607", "962.211", "971.378"),
    ("37.5", "31.091", "951.936", "963.789"),
    ("40", "33.300", "948.045", "960.629"),
    ("43", "35.987", "943.057", "956.391"),
    ("45", "37.801", "939.542", "953.302"),
    ("50", "42.426", "930.142", "944.729"),
    ("55", "47.185", "919.963", "935.116"),
    ("60", "52.088", "909.115", "924.675"),
    ("70", "62.386", "885.562", "901.751"),
    ("80", "73.480", "859.270", "875.969"),
    ("96", "93.838", "807.420", "824.489"),
    ("100", "100", "789.239", "806.215"),
]


@table(*(Row(f"{vol} % vol", (vol,), mass, "0.001", OIML) for vol, mass, _, _ in STRENGTHS))
def test_strength_by_volume_becomes_strength_by_mass(row: Row) -> None:
    """To 0.001 % by mass, and back again."""
    (percent,) = row.numbers()
    found = mass_fraction(percent / 100)
    assert row.agrees(found * 100)
    assert abs(volume_fraction(found) * 100 - percent) < Decimal("1e-10")


@table(
    *(Row(f"{vol} % vol, 20 C", (vol, "20"), warm, "0.01", OIML) for vol, _, warm, _ in STRENGTHS),
    *(Row(f"{vol} % vol, 0 C", (vol, "0"), cold, "0.01", OIML) for vol, _, _, cold in STRENGTHS),
)
def test_density_at_room_and_at_ice_temperature(row: Row) -> None:
    """To 0.01 kg/m3."""
    percent, celsius = row.numbers()
    assert row.agrees(density(mass_fraction(percent / 100), celsius).m_as("kilogram/meter**3"))


@table(
    Row("1 % mass", ("0.01",), "0.99636", "0.00006", PERRY, "0.000051 apart"),
    Row("2 % mass", ("0.02",), "0.99453", "0.00005", PERRY),
    Row("5 % mass", ("0.05",), "0.98938", "0.00005", PERRY),
    Row("8 % mass", ("0.08",), "0.98478", "0.00005", PERRY),
    Row("10 % mass", ("0.10",), "0.98187", "0.00005", PERRY),
    Row("12 % mass", ("0.12",), "0.97910", "0.00005", PERRY),
)
def test_density_agrees_with_the_chemists(row: Row) -> None:
    """Another laboratory's table, to 0.00006 kg/L."""
    (by_mass,) = row.numbers()
    assert row.agrees(grams_per_ml(by_mass))


@table(
    Row("80 proof", ("40",), "33.4", "0.15", USDA, "food 14037"),
    Row("86 proof", ("43",), "36.1", "0.15", USDA),
    Row("90 proof", ("45",), "37.9", "0.15", USDA),
    Row("94 proof", ("47",), "39.7", "0.15", USDA),
    Row("100 proof", ("50",), "42.5", "0.15", USDA),
)
def test_spirits_hold_the_alcohol_that_usda_lists(row: Row) -> None:
    """Grams of alcohol in 100 g of spirit."""
    (percent,) = row.numbers()
    assert row.agrees(mass_fraction(percent / 100) * 100)


def excise_density(proof: Decimal) -> Decimal:
    """Pounds to a wine gallon at 60 degrees Fahrenheit as weighed in air: proof is twice the % vol at 60 F."""
    sixty = (Decimal(60) - 32) * 5 / 9
    ethanol = density(Decimal(1), sixty).m_as("gram/milliliter")
    low, high = Decimal(0), Decimal(1)
    for _ in range(60):
        middle = (low + high) / 2
        reached = middle * density(middle, sixty).m_as("gram/milliliter") / ethanol
        low, high = (middle, high) if reached < proof / 200 else (low, middle)
    true = density(low, sixty).m_as("gram/milliliter")
    in_air = (true - AIR) / (1 - AIR / WEIGHTS)
    return in_air * GALLON_ML / POUND_G


@table(
    Row("190 proof, wine gallons in 81,000 lb", ("190", "81000", "1"), "11921.6", "1.5", GAUGING),
    Row("190 proof, proof gallons in 81,000 lb", ("190", "81000", "1.9"), "22650.8", "2.7", GAUGING),
    Row("200 proof, proof gallons in 1,000 lb", ("200", "1000", "2"), "302.58", "0.05", GAUGING),
    Row("190 proof, wine gallons in a pound", ("190", "1", "1"), "0.14718", "0.00002", GAUGING),
    Row("190 proof, proof gallons in a pound", ("190", "1", "1.9"), "0.27964", "0.00004", GAUGING),
)
def test_weighed_spirit_comes_to_the_excise_gallons(row: Row) -> None:
    """The worked examples of the gauging manual, to 1.2 parts in ten thousand."""
    proof, pounds, proof_gallons_each = row.numbers()
    assert row.agrees(pounds / excise_density(proof) * proof_gallons_each)


@table(Row("1,000 lb of 200 proof to 190", ("1000", "200", "190"), "82.03", "0.2", GAUGING))
def test_the_water_that_brings_excise_spirit_down(row: Row) -> None:
    """Proof gallons stay the same, so the weight that they have at the lower proof tells the water."""
    pounds, strong, weak = row.numbers()
    after = pounds * strong / excise_density(strong) * excise_density(weak) / weak
    assert row.agrees(after - pounds)


@table(
    *(Row(f"{w} mass at 20 C", (w, "20"), "0", "0.7", COOLPROP) for w in ("0.05", "0.1", "0.2", "0.33", "0.45", "0.6")),
    *(Row(f"{w} mass at -5 C", (w, "-5"), "0", "0.7", COOLPROP) for w in ("0.2", "0.33", "0.45", "0.6")),
)
def test_density_agrees_with_a_fluids_library(row: Row) -> None:
    """Within 0.7 kg/m3 of an independent fit, at room temperature and below freezing; weaker mixes are ice at -5."""
    by_mass, celsius = row.numbers()
    theirs = Decimal(PropsSI("D", "T", float(celsius) + 273.15, "P", 101325, f"INCOMP::MEA[{by_mass}]"))
    assert row.agrees(density(by_mass, celsius).m_as("kilogram/meter**3") - theirs)


@table(
    Row("50 and 50 mL", ("50", "50"), "96.46", "0.05", OIML),
    Row("published lab value", ("50", "50"), "96.26", "0.3", "laboratory note, chim.lu: 96 mL (96.26)"),
    Row("half a litre each", ("500", "500"), "965", "5", "laboratory notes: 960 to 970 mL of the litre"),
)
def test_ethanol_and_water_shrink_as_they_mix(row: Row) -> None:
    """Fifty and fifty is not a hundred."""
    ethanol, water = row.numbers()
    assert row.agrees(mixed_ml(ethanol * ETHANOL_G_ML, water * WATER_G_ML))


def water_to_a_litre(strong: Decimal, weak: Decimal) -> Decimal:
    """The litres of water that bring a litre of spirit down, by the grams of each that the two strengths stand for."""
    ethanol_g_ml = strong * ETHANOL_G_ML
    return ethanol_g_ml * (1 / mass_fraction(weak) - 1 / mass_fraction(strong)) / WATER_G_ML


@table(
    Row("96 to 40", ("96", "40"), "1.4705", "0.0002", OIML),
    Row("96 to 50", ("96", "50"), "0.9802", "0.0002", OIML),
    Row("60 to 40", ("60", "40"), "0.5139", "0.0002", OIML),
    Row("50 to 40", ("50", "40"), "0.2554", "0.0002", OIML),
    Row("40 to 20", ("40", "20"), "1.0009", "0.0002", OIML),
)
def test_the_water_that_brings_a_litre_down(row: Row) -> None:
    """More than the plain rule of proportion says, as the mix shrinks."""
    strong, weak = row.numbers()
    assert row.agrees(water_to_a_litre(strong / 100, weak / 100))


@table(
    Row("20 % vol", ("20",), "-9", "2", "Engineering ToolBox, coarse"),
    Row("30 % vol", ("30",), "-15", "2", "Engineering ToolBox, coarse"),
    Row("40 % vol", ("40",), "-23", "2", "Engineering ToolBox, coarse"),
    Row("water", ("0",), "0", "0", "definition of the Celsius scale, to a thousandth"),
)
def test_where_a_mix_begins_to_freeze(row: Row) -> None:
    """Coarse, and good only for a warning."""
    (percent,) = row.numbers()
    assert row.agrees(freezing_point(percent / 100))


def test_proportion_alone_is_good_enough_at_the_strength_of_drinks() -> None:
    """At 40 % vol and below the plain rule errs by less than 0.2 % of the volume."""
    assert abs(water_to_a_litre(Decimal("0.4"), Decimal("0.2")) - 1) < Decimal("0.002")


@pytest.mark.parametrize("strength", ["0.3", "0.45", "0.7", "0.96"])
def test_warming_spirit_makes_it_lighter(strength: str) -> None:
    """From the freezer to the shelf, spirit swells."""
    by_mass = mass_fraction(Decimal(strength))
    assert density(by_mass, Decimal(-20)) > density(by_mass, COLD) > density(by_mass) > density(by_mass, Decimal(40))
