"""The shape of the book's TOML entries: which keys there are, and what each accepts. Unknown keys are faults.

Each field's description is the mend that is shown when a value does not fit it.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, StrictBool, StrictInt, StringConstraints

from recipes.model import Ice, Method, Role

Allergen = Literal[
    "gluten",
    "crustaceans",
    "egg",
    "fish",
    "peanuts",
    "soya",
    "milk",
    "nuts",
    "celery",
    "mustard",
    "sesame",
    "sulphites",
    "lupin",
    "molluscs",
    "wheat",
]
SourceKind = Literal["published", "label", "common practice", "from memory", "house choice"]


def _only_a_number(value: object) -> object:
    """TOML numbers only: '13 dollars' and "13" are texts, true is no number."""
    if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
        raise ValueError(f"{value!r} is not a number")
    return Decimal(str(value)) if isinstance(value, float) else value


Number = Annotated[Decimal, BeforeValidator(_only_a_number)]
Money = Annotated[Number, Field(ge=0, decimal_places=2)]
Text = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1)]
Fraction = Annotated[Number, Field(ge=0, lt=1)]


class Entry(BaseModel):
    """What every entry shares: no unknown keys, no change after reading."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Percent(Entry):
    """A value in per cent, and its source."""

    value: Number = Field(ge=0, le=100, description="write a number from 0 to 100")
    source: Text = Field(description="write the id of a source in sources.toml")


class GramsPerLitre(Entry):
    """A value in g/L, and its source."""

    value: Number = Field(ge=0, le=1600, description="write grams per litre, 0 to 1600")
    source: Text = Field(description="write the id of a source in sources.toml")


class Density(Entry):
    """A value in g/mL, and its source."""

    value: Number = Field(gt=Decimal("0.5"), lt=Decimal("2.5"), description="write grams per millilitre, 0.5 to 2.5")
    source: Text = Field(description="write the id of a source in sources.toml")


class EachEntry(Entry):
    """How much one piece (cube, leaf, egg) is."""

    size: Text = Field(description='write "<number> <unit>", as "2.3 g" or "48 ml"')
    source: Text = Field(description="write the id of a source in sources.toml")


class PackEntry(Entry):
    """What is bought."""

    size: Text = Field(description='write "<number> <unit>", as "750 ml" or "1 piece"')
    price: Money = Field(description="write money in the house's currency, as 24.50")
    usable: Text | None = Field(default=None, description='write "<number> <unit>" or leave it out')
    source: Text | None = Field(default=None, description="write the id of a source in sources.toml")


class MadeEntry(Entry):
    """How the house makes it."""

    pours: tuple[Text, ...] = Field(min_length=1, description='write a list of "<number> <unit> <ingredient>"')
    makes: Text = Field(description='write the volume yielded, as "750 ml"')
    steps: tuple[Text, ...] = Field(min_length=1, description="write a list of steps, in order")


class IngredientEntry(Entry):
    """One [[ingredient]]."""

    name: Text = Field(description="write the name people use")
    role: Role = Field(description="write one of: " + ", ".join(Role))
    kind: str = Field(default="", description="write what it is among its role, as 'gin'")
    say: tuple[Text, ...] = Field(default=(), description="write a list of other names")
    sounds_like: tuple[Text, ...] = Field(default=(), description="write a list of respellings in English words")
    abv: Percent | None = Field(default=None, description='write { value = 40, source = "label" }')
    sugar: GramsPerLitre | None = Field(default=None, description='write { value = 300, source = "label" }')
    acid: Percent | None = Field(default=None, description='write { value = 6, source = "bar-convention" }')
    density: Density | None = Field(default=None, description='write { value = 1.03, source = "usda-sr" }')
    each: EachEntry | None = Field(default=None, description='write { size = "2.3 g", source = "usda-sr" }')
    bitterness: StrictInt | None = Field(default=None, ge=0, le=5, description="write a whole number from 0 to 5")
    flavour: tuple[Text, ...] = Field(default=(), description="write a list of words")
    allergens: tuple[Allergen, ...] | None = Field(default=None, description="write a list; leave out if unknown")
    vegan: StrictBool | None = Field(default=None, description="write true or false; leave out if unknown")
    storage: str = Field(default="", description="write where it is kept")
    shelf_life_days: StrictInt | None = Field(default=None, gt=0, description="write a whole number of days")
    caution: str = Field(default="", description="write a sentence")
    stand_ins: tuple[Text, ...] = Field(default=(), description="write a list of ingredient names")
    par: Text | None = Field(default=None, description='write the least to have at opening, as "500 ml"')
    pack: PackEntry | None = Field(default=None, description='write { size = "750 ml", price = 24.50 }')
    made: MadeEntry | None = Field(default=None, description="write pours, makes and steps")


class DrinkEntry(Entry):
    """One [[drink]]."""

    name: Text = Field(description="write the name people order it by")
    say: tuple[Text, ...] = Field(default=(), description="write a list of other names")
    sounds_like: tuple[Text, ...] = Field(default=(), description="write a list of respellings in English words")
    pours: tuple[Text, ...] = Field(min_length=1, description='write a list of "<number> <unit> <ingredient>"')
    method: Method = Field(description="write one of: " + ", ".join(Method))
    glass: Text = Field(description="write the name of a glass in glasses.toml")
    ice: Ice = Field(description="write one of: " + ", ".join(Ice))
    garnish: tuple[Text, ...] = Field(default=(), description="write a list of garnish names")
    steps: tuple[Text, ...] = Field(min_length=1, description="write a list of steps, in order")
    price: Annotated[Money, Field(gt=0)] | None = Field(default=None, description="write the menu price, as 13.00")
    family: Text | None = Field(default=None, description="write the family handbooks give it")
    first_print: str = Field(default="", description="write when it was in print, as 'by 1930'")
    source: Text = Field(description="write the id of a source in sources.toml")
    note: str = Field(default="", description="write a sentence")
    taste: str = Field(default="", description="write one line")


class GlassEntry(Entry):
    """One [[glass]]."""

    name: Text = Field(description="write the name people use")
    capacity_ml: Number = Field(gt=0, description="write millilitres to the brim")
    say: tuple[Text, ...] = Field(default=(), description="write a list of other names")


class SourceEntry(Entry):
    """One [[source]]."""

    id: Text = Field(description="write a short id")
    title: Text = Field(description="write what to look up")
    kind: SourceKind = Field(description="write published, label, common practice, from memory or house choice")


class ShelfHead(Entry):
    """The keys at the top of a shelf's file."""

    shelf: Text = Field(description="write the shelf's id")
    title: Text = Field(description="write what people call the shelf")
    say: tuple[Text, ...] = Field(default=(), description="write a list of other names")


class NoHead(Entry):
    """A file that holds entries and nothing else."""


class HouseEntry(Entry):
    """house.toml."""

    name: Text = Field(description="write the bar's name")
    currency: Annotated[str, StringConstraints(pattern="^[A-Z]{3}$")] = Field(description="write an ISO 4217 code")
    symbol: Text = Field(description="write the sign of the currency")
    ounce_ml: Number = Field(gt=20, lt=40, description="write 29.5735295625 (US) or 30 (metric bar)")
    barspoon_ml: Number = Field(gt=0, lt=20, description="write millilitres, as 5")
    dash_ml: Number = Field(gt=0, lt=5, description="write millilitres, as 0.9")
    drop_ml: Number = Field(gt=0, lt=1, description="write millilitres, as 0.05")
    pinch_g: Number = Field(gt=0, lt=5, description="write grams, as 0.3")
    jigger_step: Text = Field(description='write "<number> oz", as "1/4 oz"')
    metric_step: Text = Field(description='write "<number> ml", as "2.5 ml"')
    bottle: Text = Field(description='write "<number> ml", as "750 ml"')
    sales_tax: Fraction = Field(description="write a fraction, as 0.08 for 8 per cent")
    price_includes_tax: StrictBool = Field(description="write true or false")
    waste: Fraction = Field(description="write a fraction, as 0.03 for 3 per cent")
    target_pour_cost: Fraction = Field(gt=0, description="write a fraction, as 0.20 for 20 per cent")
    price_step: Annotated[Money, Field(gt=0)] = Field(description="write money, as 0.50")
    covers: StrictInt = Field(gt=0, description="write a whole number of guests")
    drinks_per_cover: Number = Field(gt=0, le=20, description="write a number, as 1.5")
    wake_phrase: str = Field("", max_length=60, description="write two or three words that are rarely said")
    pin_also_for: frozenset[Literal["costs", "stock", "riffs"]] = Field(
        default=frozenset(), description='write a list of "costs", "stock" or "riffs", or [] for none'
    )
