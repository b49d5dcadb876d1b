"""A small book on disk that has no fault, to be spoiled in one place by a test."""

from __future__ import annotations

from pathlib import Path

HOUSE = """\
name = "The Test Bar"
currency = "USD"
symbol = "$"
ounce_ml = 30
barspoon_ml = 5
dash_ml = 0.9
drop_ml = 0.05
pinch_g = 0.3
jigger_step = "1/4 oz"
metric_step = "2.5 ml"
bottle = "750 ml"
sales_tax = 0.08
price_includes_tax = false
waste = 0.03
target_pour_cost = 0.20
price_step = 0.50
covers = 60
drinks_per_cover = 1.5
"""
GLASSES = """\
[[glass]]
name = "coupe"
capacity_ml = 180

[[glass]]
name = "rocks glass"
capacity_ml = 300
"""
SOURCES = """\
[[source]]
id = "label"
title = "Labels"
kind = "label"

[[source]]
id = "memory"
title = "From memory"
kind = "from memory"
"""
SPIRITS = """\
[[ingredient]]
name = "gin"
role = "base"
say = ["dry gin"]
abv = { value = 40, source = "label" }
sugar = { value = 0, source = "label" }
acid = { value = 0, source = "label" }
bitterness = 0
allergens = []
stand_ins = ["vodka"]
pack = { size = "750 ml", price = 24.00 }

[[ingredient]]
name = "vodka"
role = "base"
abv = { value = 38, source = "label" }
sugar = { value = 0, source = "label" }
acid = { value = 0, source = "label" }
bitterness = 0
allergens = []
pack = { size = "750 ml", price = 18.00 }
"""
LARDER = """\
[[ingredient]]
name = "lime juice"
role = "acid"
abv = { value = 0, source = "label" }
sugar = { value = 17, source = "memory" }
acid = { value = 6, source = "memory" }
bitterness = 1
allergens = []
pack = { size = "1 piece", price = 0.45, usable = "27 ml", source = "memory" }

[[ingredient]]
name = "sugar"
role = "sweetener"
abv = { value = 0, source = "label" }
sugar = { value = 843, source = "memory" }
acid = { value = 0, source = "label" }
density = { value = 0.845, source = "memory" }
bitterness = 0
allergens = []
pack = { size = "1 kg", price = 1.50 }

[[ingredient]]
name = "simple syrup"
role = "sweetener"

[ingredient.made]
pours = ["500 g sugar"]
makes = "800 ml"
steps = ["Stir."]

[[ingredient]]
name = "lime wheel"
role = "garnish"
allergens = []
pack = { size = "1 piece", price = 0.45, usable = "8 piece", source = "memory" }
"""
CLASSICS = """\
shelf = "classics"
title = "Classics"

[[drink]]
name = "Gin Sour"
say = ["sour of gin"]
pours = [
  "2 oz gin",
  "3/4 oz lime juice",
  "3/4 oz simple syrup",
]
method = "shaken"
glass = "coupe"
ice = "none"
garnish = ["lime wheel"]
steps = ["Shake.", "Strain."]
price = 12.00
source = "memory"

[[drink]]
name = "Vodka Sour"
pours = ["2 oz vodka", "1 oz lime juice"]
method = "shaken"
glass = "rocks glass"
ice = "cubed"
steps = ["Shake.", "Strain."]
price = 11.00
source = "memory"
"""
FILES = {
    "house.toml": HOUSE,
    "glasses.toml": GLASSES,
    "sources.toml": SOURCES,
    "ingredients/spirits.toml": SPIRITS,
    "ingredients/larder.toml": LARDER,
    "classics.toml": CLASSICS,
}


def write_book(folder: Path, *changes: tuple[str, str, str]) -> Path:
    """Write the book with changes (file, old text, new text); old text that is not there fails the test."""
    files = dict(FILES)
    for file, old, new in changes:
        assert old in files[file], f"{old!r} is not in {file}"
        files[file] = files[file].replace(old, new, 1)
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder


def line_with(file: str, text: str) -> int:
    """The 1-based line of the unspoiled file on which a text first stands."""
    return next(n for n, line in enumerate(FILES[file].splitlines(), start=1) if text in line)
