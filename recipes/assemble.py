"""Makes the engine's values from entries of the right shape, and finds the names and amounts in them that are wrong."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Set
from dataclasses import dataclass
from decimal import Decimal
from typing import TypeVar

from recipes.faults import Fault, Place, write_instead
from recipes.model import (
    Drink,
    Glass,
    House,
    HouseRecipe,
    Ingredient,
    Pack,
    Pour,
    Role,
    Source,
    Sourced,
)
from recipes.schema import (
    Density,
    DrinkEntry,
    GlassEntry,
    GramsPerLitre,
    HouseEntry,
    IngredientEntry,
    MadeEntry,
    PackEntry,
    Percent,
    SourceEntry,
)
from recipes.shape import Written
from recipes.units import Amount, Measures, Quantity, Unit, quantity
from recipes.written import MiswrittenError, read_amount, read_pour

Read = TypeVar("Read")
PACK_SOURCE = "label"  # where a whole pack's content is read


@dataclass(frozen=True)
class Known:
    """The names entries may refer to: those of every entry written down, right or wrong."""

    roles: Mapping[str, Role | None]  # ingredient -> its role; None: its entry has a fault there
    glasses: Set[str]
    sources: Set[str]


@dataclass
class Assembler:
    """Reads entries one after another, collecting faults as it goes."""

    known: Known
    measures: Measures
    found: list[Fault]

    def ingredient(self, written: Written[IngredientEntry]) -> Ingredient:
        """The ingredient of one entry; what is wrong in it is left out and reported."""
        place, entry = written.place, written.entry
        for name in entry.stand_ins:
            self._check_ingredient(place, "stand_ins", name)
        return Ingredient(
            name=entry.name,
            role=entry.role,
            kind=entry.kind,
            spoken=entry.say,
            sounds_like=entry.sounds_like,
            abv=self._sourced(place, "abv", entry.abv, "percent"),
            sugar=self._sourced(place, "sugar", entry.sugar, "gram/liter"),
            acid=self._sourced(place, "acid", entry.acid, "gram/deciliter"),
            density=self._sourced(place, "density", entry.density, "gram/milliliter"),
            bitterness=entry.bitterness,
            flavour=entry.flavour,
            allergens=None if entry.allergens is None else frozenset(entry.allergens),
            vegan=entry.vegan,
            storage=entry.storage,
            shelf_life=None if entry.shelf_life_days is None else quantity(entry.shelf_life_days, "day"),
            caution=entry.caution,
            stand_ins=entry.stand_ins,
            par=self._physical(place, "par", entry.par) if entry.par else None,
            pack=self._pack(place, entry.pack) if entry.pack else None,
            made=self._made(place, entry.made) if entry.made else None,
            each=self._each(written),
        )

    def drink(self, written: Written[DrinkEntry], shelf: str) -> Drink:
        """The drink of one entry; what is wrong in it is left out and reported."""
        place, entry = written.place, written.entry
        self._check(place, "glass", entry.glass, self.known.glasses, "glass")
        self._check(place, "source", entry.source, self.known.sources, "source")
        for name in entry.garnish:
            self._check_garnish(place, name)
        return Drink(
            name=entry.name,
            shelf=shelf,
            pours=self._pours(place, "pours", entry.pours),
            method=entry.method,
            glass=entry.glass,
            ice=entry.ice,
            garnish=entry.garnish,
            steps=entry.steps,
            spoken=entry.say,
            sounds_like=entry.sounds_like,
            price=None if entry.price is None else quantity(entry.price, "money"),
            family=entry.family,
            first_print=entry.first_print,
            source=entry.source,
            note=entry.note,
            taste=entry.taste,
        )

    def _pours(self, place: Place, field: str, lines: Iterable[str]) -> tuple[Pour, ...]:
        pours = (self._pour(place, field, line) for line in lines)
        return tuple(pour for pour in pours if pour is not None)

    def _pour(self, place: Place, field: str, line: str) -> Pour | None:
        pour = self._written(place, field, line, read_pour)
        if pour is None or not self._check_ingredient(place, field, pour.ingredient, line):
            return None
        role = pour.role or self.known.roles[pour.ingredient]
        return None if role is None else Pour(pour.ingredient, pour.amount, role, pour.note)

    def _pack(self, place: Place, entry: PackEntry) -> Pack | None:
        size = self._physical(place, "pack.size", entry.size)
        usable = self._physical(place, "pack.usable", entry.usable) if entry.usable else size
        if entry.usable and entry.source is None:
            self.found.append(place.fault("pack.source", "the yield has no source", "write where it comes from"))
        if entry.source is not None:
            self._check(place, "pack.source", entry.source, self.known.sources, "source")
        if size is None or usable is None:
            return None
        if size.dimensionality == usable.dimensionality != quantity(1, "piece").dimensionality and usable > size:
            problem = f'"{entry.usable}" is more than the pack\'s "{entry.size}"'
            self.found.append(place.fault("pack.usable", problem, "write what one pack yields"))
        return Pack(size, quantity(entry.price, "money"), Sourced(usable, entry.source or PACK_SOURCE))

    def _made(self, place: Place, entry: MadeEntry) -> HouseRecipe | None:
        makes = self._physical(place, "made.makes", entry.makes)
        pours = self._pours(place, "made.pours", entry.pours)
        if makes is not None and not makes.check("[volume]"):
            self.found.append(place.fault("made.makes", f'"{entry.makes}" is not a volume', "write ml or l"))
        return None if makes is None else HouseRecipe(pours, makes, entry.steps)

    def _each(self, written: Written[IngredientEntry]) -> Sourced | None:
        each = written.entry.each
        if each is None:
            return None
        self._check(written.place, "each.source", each.source, self.known.sources, "source")
        size = self._physical(written.place, "each.size", each.size)
        return None if size is None else Sourced(size, each.source)

    def _sourced(
        self, place: Place, field: str, entry: Percent | GramsPerLitre | Density | None, unit: str
    ) -> Sourced | None:
        if entry is None:
            return None
        self._check(place, f"{field}.source", entry.source, self.known.sources, "source")
        return Sourced(quantity(entry.value, unit), entry.source)

    def _physical(self, place: Place, field: str, text: str) -> Quantity | None:
        amount = self._written(place, field, text, read_amount)
        return None if amount is None else self.measures.physical(amount)

    def _written(self, place: Place, field: str, text: str, read: Callable[[str], Read]) -> Read | None:
        try:
            return read(text)
        except MiswrittenError as error:
            self.found.append(place.fault(field, error.problem, error.mend, text))
            return None

    def _check_ingredient(self, place: Place, field: str, name: str, item: str = "") -> bool:
        return self._check(place, field, name, self.known.roles.keys(), "ingredient", item)

    def _check_garnish(self, place: Place, name: str) -> None:
        if self._check_ingredient(place, "garnish", name) and self.known.roles[name] not in (Role.GARNISH, None):
            garnishes = [known for known, role in self.known.roles.items() if role is Role.GARNISH]
            mend = write_instead(name, garnishes, "write an ingredient whose role is garnish")
            self.found.append(place.fault("garnish", f'"{name}" is not a garnish', mend, name))

    def _check(self, place: Place, field: str, name: str, known: Set[str], noun: str, item: str = "") -> bool:
        if name in known:
            return True
        mend = write_instead(name, known, f"add it as a [[{noun}]]")
        self.found.append(place.fault(field, f'no {noun} is called "{name}"', mend, item or name))
        return False


def glass(entry: GlassEntry) -> Glass:
    """The glass of one entry."""
    return Glass(entry.name, quantity(entry.capacity_ml, "milliliter"), entry.say)


def source(entry: SourceEntry) -> Source:
    """The source of one entry."""
    return Source(entry.id, entry.title, entry.kind)


def measures(entry: HouseEntry) -> Measures:
    """What the house means by its ounce, barspoon, dash, drop and pinch."""
    return Measures(
        ounce=quantity(entry.ounce_ml, "milliliter"),
        barspoon=quantity(entry.barspoon_ml, "milliliter"),
        dash=quantity(entry.dash_ml, "milliliter"),
        drop=quantity(entry.drop_ml, "milliliter"),
        pinch=quantity(entry.pinch_g, "gram"),
    )


def house(written: Written[HouseEntry], found: list[Fault]) -> House:
    """The house's settings; a step or a bottle in a wrong unit goes to `found`."""
    entry, own = written.entry, measures(written.entry)
    bottle = _amount(written, "bottle", entry.bottle, Unit.MILLILITRE, found)
    return House(
        name=entry.name,
        currency=entry.currency,
        symbol=entry.symbol,
        measures=own,
        jigger_step=_amount(written, "jigger_step", entry.jigger_step, Unit.OUNCE, found),
        metric_step=_amount(written, "metric_step", entry.metric_step, Unit.MILLILITRE, found),
        bottle=own.physical(bottle),
        sales_tax=entry.sales_tax,
        price_includes_tax=entry.price_includes_tax,
        waste=entry.waste,
        target_pour_cost=entry.target_pour_cost,
        price_step=quantity(entry.price_step, "money"),
        covers=entry.covers,
        drinks_per_cover=entry.drinks_per_cover,
        wake_phrase=entry.wake_phrase,
        pin_also_for=frozenset(entry.pin_also_for),
    )


def _amount(written: Written[HouseEntry], field: str, text: str, unit: Unit, found: list[Fault]) -> Amount:
    try:
        amount = read_amount(text)
        if amount.unit is unit:
            return amount
        problem, mend = f'"{text}" is not in {unit.value}', f'write "<number> {unit.value}"'
    except MiswrittenError as error:
        problem, mend = error.problem, error.mend
    found.append(written.place.fault(field, problem, mend))
    return Amount(Decimal(1), unit)
