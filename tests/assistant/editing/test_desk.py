"""A draft is weighed up while it is typed: balance, family, cost, allergens, and how its name will be heard."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from importlib.resources import files
from pathlib import Path

import pytest

from assistant.answers import edits, talk
from assistant.answers.base import KeepDrink
from assistant.answers.edits import MENDS, TOML_WORDS, fault_said
from assistant.console import render
from assistant.editing.desk import Desk, Report
from assistant.editing.drafts import Draft, Kind
from assistant.editing.history import FILE
from assistant.editing.rewriting import Value
from assistant.errors import EditRefused
from assistant.messages import Table
from assistant.services import Services
from recipes.faults import Fault
from recipes.schema import DrinkEntry, Entry, IngredientEntry

LIGHTS: dict[str, Value | None] = {
    "name": "Harbour Lights",
    "pours": ("2 oz aged rum", "3/4 oz lime juice", "1/2 oz orgeat"),
    "method": "shaken",
    "glass": "coupe",
    "ice": "none",
    "steps": ("Shake.", "Strain."),
    "price": Decimal("14.00"),
    "source": "fogbell",
}


@pytest.fixture(scope="module")
def services(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Services]:
    """The assistant on a copy of the book, which no test here changes."""
    folder = tmp_path_factory.mktemp("desk")
    book = shutil.copytree(str(files("recipes") / "book"), folder / "book")
    services = Services(Path(book), f"sqlite:///{folder / 'shift.db'}")
    yield services
    services.close()


@pytest.fixture(scope="module")
def desk(services: Services) -> Desk:
    """Its desk."""
    return Desk(services)


def weighed(desk: Desk, kind: Kind = "drink", page: str = "fogbell.toml", **fields: Value | None) -> Report:
    """The report on a new entry."""
    known = LIGHTS if kind == "drink" else {}
    return desk.weigh_up(Draft(kind, page, known | fields))


def shown(report: Report) -> str:
    """All that is said of the draft, in one line."""
    text = re.sub(r"\x1b\[\d+m", "", render(report.reply, 200))
    return " ".join(text.split())


class TestDrink:
    """A drink on its way into the book."""

    def test_a_whole_one_has_nothing_to_mend(self, desk: Desk) -> None:
        """Its family with the reason, its cost, and its strength against the family."""
        found = weighed(desk)
        assert (found.faults, found.elsewhere) == ({}, ())
        assert found.reply.say.startswith("Nothing to mend. It is a sour. It costs two dollars")
        told = shown(found)
        assert "Against its family: sour" in told
        assert "The Harbour Lights is a sour: " in told
        assert re.search(r"Strength .* % vol \(usually ", told)

    def test_its_cost_is_that_of_the_same_drink_in_the_book(self, desk: Desk, services: Services) -> None:
        """A draft that says what a drink of the book says costs what that drink costs."""
        opened = desk.opened("drink", "Tidewrack")
        report = desk.weigh_up(Draft("drink", "", opened.fields, "Tidewrack", opened.fingerprint))
        in_the_book = services.ask("what does a tidewrack cost", "here").card
        assert in_the_book is not None
        assert report.reply.card is not None
        assert set(map(str, in_the_book.blocks)) <= set(map(str, report.reply.card.blocks))
        assert report.text == opened.block

    def test_allergens_come_through_what_the_house_makes(self, desk: Desk) -> None:
        """Orgeat is made here of almonds: the draft holds nuts, and says by what."""
        assert re.search(r"Allergens by our data: [^.]*nuts", " ".join(weighed(desk).reply.cautions))

    def test_what_is_not_looked_up_is_unknown(self, desk: Desk, services: Services) -> None:
        """An ingredient without a list of allergens makes them unknown, never none."""
        unknown = next(i.name for i in services.book.ingredients.values() if i.allergens is None and i.made is None)
        found = weighed(desk, pours=("2 oz gin", f"1 oz {unknown}"))
        assert f"unknown, ask {unknown}" in shown(found) or f"{unknown} unknown, ask" in shown(found)
        assert any("Allergens unknown, ask" in caution for caution in found.reply.cautions)

    def test_each_line_is_read_by_itself(self, desk: Desk) -> None:
        """One that cannot be read says why, how to mend it, and what to write instead; the others are reckoned with."""
        found = weighed(desk, pours=("2 oz aged rum", "3/4 oz lime", "1/2 oz gingr syrup", "some gin", "1/2 cup gin"))
        lines = found.lines["pours"]
        assert [line.is_read for line in lines] == [True, False, False, False, False]
        assert lines[0].said == "2 oz aged rum, base"
        assert lines[1].instead == "3/4 oz lime juice", "lime is what the juice is also called"
        assert lines[2].said == 'No ingredient is called "gingr syrup". Write "ginger syrup".'
        assert lines[2].instead == "1/2 oz ginger syrup"
        assert "does not begin with a number" in lines[3].said
        assert '"cup" is not a unit' in lines[4].said
        assert found.reply.say.startswith("Four things to mend.")
        assert "Reckoned without what cannot be read yet" in shown(found)

    @pytest.mark.parametrize(
        ("fields", "field", "said"),
        [
            ({"glass": None}, "glass", "Missing. Choose one of the glasses."),
            ({"steps": None}, "steps", "Missing. Write at least one step."),
            ({"price": "cheap"}, "price", "'cheap' is not a number. Write the menu price, as 13.00."),
            ({"garnish": ("lime wheal",)}, "garnish", 'No ingredient is called "lime wheal". Write "lime wheel".'),
            ({"garnish": ("gin",)}, "garnish", '"gin" is not a garnish. '),
            ({"name": "gimlet"}, "name", "The book calls the Gimlet by that name already. Give each name to one."),
            ({"say": ("daiquiri",)}, "say", "The book calls the Daiquiri by that name already. "),
        ],
    )
    def test_a_fault_stands_beside_its_field(
        self, desk: Desk, fields: dict[str, Value | None], field: str, said: str
    ) -> None:
        """In the words of the form, not of the file."""
        found = weighed(desk, **fields)
        assert [text for text in found.faults[field] if text.startswith(said)]
        assert not found.reply.say.startswith("Nothing")

    def test_without_a_name_it_is_weighed_up_all_the_same(self, desk: Desk) -> None:
        """The name may come last."""
        told = shown(weighed(desk, name=None))
        assert "Pour cost" in told
        assert "Listens for" not in told

    def test_nothing_typed_yet_is_no_error(self, desk: Desk) -> None:
        """An empty form says how to begin."""
        found = desk.weigh_up(Draft("drink", "fogbell.toml", {}))
        assert "Write a pour, as 2 oz gin" in found.reply.say


class TestName:
    """How a name will be heard."""

    @pytest.mark.parametrize(
        ("name", "more", "told"),
        [
            ("Harbour Lights", {}, "Listens for: hahr-bur lights."),
            ("Daiquiri Royal", {}, "Listens for: dak-ur-ee "),
            ("Xqzt", {}, "xqzt is in no dictionary, so the sound is a guess."),
            ("Xqzt", {"sounds_like": ("sunset",)}, "Listens for: suhn-set."),
            ("北", {}, "Nobody can say that aloud"),
            ("Mud Lark", {"sounds_like": ("gimlet",)}, "Said aloud it is taken for Gimlet."),
        ],
    )
    def test_it_is_told_before_it_is_kept(
        self, desk: Desk, name: str, more: dict[str, Value | None], told: str
    ) -> None:
        """What is listened for, what is a guess, and what it is taken for."""
        assert told in shown(weighed(desk, name=name, **more))

    def test_a_respelling_that_is_known_is_no_guess(self, desk: Desk) -> None:
        """Once it is said how it sounds, nothing is doubted."""
        assert "guess" not in shown(weighed(desk, name="Xqzt", sounds_like=("sunset",)))

    def test_its_own_name_is_not_another_s(self, desk: Desk) -> None:
        """A drink that is changed is not told that its name is taken."""
        opened = desk.opened("drink", "Gimlet")
        found = desk.weigh_up(Draft("drink", "", opened.fields, "Gimlet", opened.fingerprint))
        assert found.faults == {}
        assert "taken for" not in shown(found)


class TestIngredient:
    """An ingredient on its way into the book."""

    PAGE = "ingredients/liqueurs.toml"

    def test_a_price_tells_what_an_ounce_costs(self, desk: Desk) -> None:
        """21 dollars for 700 ml is 89 cents an ounce: 21 / 700 x 29.5735."""
        pack: dict[str, Value | None] = {"size": "700 ml", "price": Decimal("21.00")}
        found = weighed(desk, "ingredient", self.PAGE, name="rhubarb liqueur", role="liqueur", pack=pack)
        assert "eighty-nine cents an ounce" in shown(found)
        assert "allergens unknown for rhubarb liqueur" in shown(found)
        assert "Unknown, and answered as unknown: strength, sugar, acid, density and bitterness." in shown(found)

    def test_what_the_house_makes_is_costed_by_its_parts(self, desk: Desk) -> None:
        """And takes their allergens."""
        made: dict[str, Value | None] = {
            "pours": ("500 ml orgeat", "500 ml water"),
            "makes": "1000 ml",
            "steps": ("Stir.",),
        }
        found = weighed(
            desk, "ingredient", "ingredients/house_made.toml", name="thin orgeat", role="sweetener", made=made
        )
        assert found.faults == {}
        assert "cents an ounce" in shown(found)
        assert "nuts" in shown(found)

    def test_the_drinks_that_pour_it_are_told(self, desk: Desk) -> None:
        """So a manager sees what a new price of gin does."""
        opened = desk.opened("ingredient", "aquavit")
        found = desk.weigh_up(Draft("ingredient", "", opened.fields, "aquavit", opened.fingerprint))
        assert "Tidewrack" in shown(found)

    def test_a_pack_without_its_price_is_told(self, desk: Desk) -> None:
        """Beside the field that lacks it."""
        found = weighed(desk, "ingredient", self.PAGE, name="new", role="liqueur", pack={"size": "700 ml"})
        assert found.faults == {"pack.price": ("Missing. Write money in the house's currency, as 24.50.",)}


class TestWords:
    """No word of the file's grammar reaches whoever fills in a form."""

    @pytest.mark.parametrize(
        ("field", "mend"),
        [
            (f"{outer}.{inner}" if inner else outer, info.description)
            for model in (DrinkEntry, IngredientEntry)
            for outer, described in model.model_fields.items()
            for inner, info in [
                ("", described),
                *(
                    pair
                    for part in getattr(described.annotation, "__args__", ())
                    if isinstance(part, type) and issubclass(part, Entry)
                    for pair in part.model_fields.items()
                ),
            ]
        ],
    )
    def test_a_mend_is_told_in_the_form_s_words(self, field: str, mend: str) -> None:
        """Every mend of the schema, as it is told beside its field."""
        said = fault_said(Fault("x.toml", 1, "", field, "that is wrong", mend))
        assert not TOML_WORDS.search(said), said
        assert said.endswith(".")

    def test_every_refusal_is_a_sentence(self) -> None:
        """Each says what happened, and ends with a stop."""
        for reason in edits.REFUSALS:
            said = edits.refused(EditRefused(reason, "gin", "more")).say
            assert said.endswith(".")
            assert "{" not in said
        assert all(mend.endswith(".") for mend in MENDS.values())


def test_a_drink_kept_by_voice_is_written_into_the_files(tmp_path: Path) -> None:
    """A riff that was named goes from the memory into the book's files, and the files' takes its place."""
    book = Path(shutil.copytree(str(files("recipes") / "book"), tmp_path / "book"))
    services = Services(book, f"sqlite:///{tmp_path / 'shift.db'}")
    services.ask("swap the gin for aged rum in the gimlet", "bar")
    services.ask("call it harbour storm", "bar")
    desk = Desk(services)
    fields = desk.as_new(services.book.drinks["Harbour Storm"])
    reply = desk.keep(Draft("drink", "fogbell.toml", {**fields, "source": "fogbell", "price": Decimal("15.00")}), "Ada")
    assert reply.say == "Kept: the Harbour Storm is in the book. It can be asked for now."
    drink = services.book.drinks["Harbour Storm"]
    assert (drink.shelf, drink.price and drink.price.m_as("money")) == ("fogbell", 15)
    assert services.ask("spec for harbour storm", "bar").say.startswith("Harbour Storm: two ounces aged rum")
    services.close()


def test_the_ear_learns_a_new_name_at_once(tmp_path: Path) -> None:
    """With the edit kept, what can be said has the new name in it, and no more after its undoing."""
    book = Path(shutil.copytree(str(files("recipes") / "book"), tmp_path / "book"))
    services = Services(book, f"sqlite:///{tmp_path / 'shift.db'}")
    desk, before = Desk(services), services.phrasebook
    kept = desk.keep(Draft("drink", "fogbell.toml", LIGHTS), "Ada")
    assert services.phrasebook is not before, "an ear that follows the book makes itself anew"
    assert services.ask("what's in a harbour lights", "bar").understood
    assert kept.undo is not None
    desk.undo(kept.undo, "Ada")
    assert "Harbour Lights" not in services.book.drinks
    services.close()


class TestTrail:
    """'Who changed what?' tells of the book's files too."""

    @pytest.fixture
    def services(self, tmp_path: Path) -> Iterator[Services]:
        """The assistant on a copy of the book that a test may change."""
        book = shutil.copytree(str(files("recipes") / "book"), tmp_path / "book")
        services = Services(Path(book), f"sqlite:///{tmp_path / 'shift.db'}")
        yield services
        services.close()

    def test_an_edit_is_told_among_the_other_changes(self, services: Services) -> None:
        """Newest first, with whoever made it and what it was; taking it back is told as well."""
        desk = Desk(services)
        services.ask("we're out of mint", "bar", "Sam")
        kept = desk.keep(Draft("drink", "fogbell.toml", LIGHTS), "Kit")
        assert kept.undo is not None, kept.say
        reply = services.ask("who changed what", "office")
        assert reply.say.startswith("The last change was just now: Kit changed Harbour Lights.")
        assert reply.card is not None
        (table,) = reply.card.blocks
        assert isinstance(table, Table)
        assert [(row.label, *row.cells) for row in table.rows] == [
            ("Harbour Lights", "book", "", "new in the book", "Kit"),
            ("Mint", "out or in", "in", "out", "Sam"),
        ]
        desk.undo(kept.undo, "Ana")
        reply = services.ask("who changed what", "office")
        assert reply.say.startswith("The last change was just now: Ana took back a change of Harbour Lights.")

    def test_what_is_taken_out_is_told_and_comes_back(self, services: Services) -> None:
        """It cannot be asked for until it is undone."""
        desk = Desk(services)
        removed = desk.remove("drink", "Gimlet", desk.opened("drink", "Gimlet").fingerprint, "Kit")
        assert removed.say == "The Gimlet is out of the book. Its text is kept in the history."
        assert "Gimlet" not in services.book.drinks
        assert removed.undo is not None
        assert desk.undo(removed.undo, "Kit").say == "Undone. The Gimlet is in the book again."
        assert "Gimlet" in services.book.drinks

    def test_what_is_used_is_not_taken_out(self, services: Services) -> None:
        """By a drink of the files or by one that was kept by voice: the sentence names them."""
        desk = Desk(services)
        seen = desk.opened("ingredient", "orgeat").fingerprint
        users = [drink for drink in services.book.drinks.values() if drink.pour_of("orgeat")]
        say = desk.remove("ingredient", "orgeat", seen, "Kit").say
        assert say.startswith(
            f"Orgeat stays in the book, and nothing was changed, since something else names it: {users[0].name}"
        )
        assert say.endswith(". Change that first.")
        assert "orgeat" in services.book.ingredients
        kept = replace(users[0], name="Kept By Voice")
        for user in users:
            desk.remove("drink", user.name, desk.opened("drink", user.name).fingerprint, "Kit")
        services.memory.apply(KeepDrink(kept), "Sam")
        assert "Kept By Voice" in desk.remove("ingredient", "orgeat", seen, "Kit").say

    def test_a_history_that_cannot_be_read_is_told(self, services: Services) -> None:
        """Not as if nothing had been changed."""
        (services.files.folder / FILE).mkdir()
        assert services.ask("who changed what", "office").say == talk.not_read().say
