"""The manager's addresses: what they answer, what they refuse, and who is let in."""

from __future__ import annotations

import csv
import io
import json
import shutil
import zipfile
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from assistant.services import Services
from assistant.web import create_app

PAGES = ("/office", "/office/drink", "/office/drink?name=Gimlet", "/office/ingredient?name=gin", "/office/history")
EXPORTS = ("book.zip", "recipes.json", "prices.csv", "menu.csv", "trail.csv", "memory.json")
GIMLET = {"kind": "drink", "was": "Gimlet", "fields": {"name": "Gimlet", "pours": ["2 oz gin"]}}


@pytest.fixture
def services(tmp_path: Path) -> Iterator[Services]:
    """The assistant on a copy of the book."""
    book = shutil.copytree(str(files("recipes") / "book"), tmp_path / "book")
    services = Services(Path(book), f"sqlite:///{tmp_path / 'shift.db'}")
    yield services
    services.close()


@pytest.fixture
def client(services: Services) -> FlaskClient:
    """The app."""
    return create_app(services, office=services).test_client()


def posted(client: FlaskClient, path: str, body: object) -> dict[str, Any]:
    """What is answered to a JSON body."""
    answer = client.post(path, json=body)
    assert answer.status_code == 200, answer.get_json()
    return dict(answer.get_json())


def given(client: FlaskClient, kind: str, data: str | bytes, **options: object) -> dict[str, Any]:
    """What comes of a list."""
    query = {"with": json.dumps(options)}
    data = data.encode() if isinstance(data, str) else data
    answer = client.post(f"/api/office/lists/{kind}", data=data, query_string=query)
    assert answer.status_code == 200, answer.get_json()
    return dict(answer.get_json())


class TestPages:
    """What a browser opens."""

    @pytest.mark.parametrize("path", [*PAGES, "/office/lists"])
    def test_each_opens(self, client: FlaskClient, path: str) -> None:
        """As a page, with nothing in it that its own policy forbids."""
        answer = client.get(path)
        assert answer.status_code == 200
        assert answer.mimetype == "text/html"
        page = answer.get_data(as_text=True)
        assert "style=" not in page
        assert "<script>" not in page
        assert " onclick" not in page

    def test_an_entry_that_is_not_there_is_a_sentence(self, client: FlaskClient) -> None:
        """A link from yesterday."""
        answer = client.get("/office/drink?name=Nobody")
        assert answer.status_code == 404
        assert answer.get_json()["error"].startswith("The book's files have no Nobody any more.")

    def test_a_book_that_a_hand_has_broken_is_told(self, client: FlaskClient, services: Services) -> None:
        """The pages open as long as the files can be read at all, with what is to mend; else it is a sentence."""
        file = services.files.folder / "classics.toml"
        good = file.read_text("utf-8")
        file.write_text(good.replace('name = "Gimlet"', 'name = "Gimlet"\nglas = "flute"'), "utf-8")
        assert "there is no key &#34;glas&#34;" in client.get("/office").get_data(as_text=True)
        assert client.get("/office/drink?name=Daiquiri").status_code == 200
        reply = posted(client, "/api/office/keep", GIMLET)
        assert not reply["understood"]
        file.write_bytes(b"\xff\xfe not text")
        answer = client.get("/office/drink")
        assert answer.status_code == 409
        assert answer.get_json()["error"].startswith("The book's files could not be read:")

    def test_names_are_text_and_never_markup(self, client: FlaskClient, services: Services) -> None:
        """A drink with a bracket in its name is a drink, not a program."""
        fields = {
            **{"name": "<b>Bold</b> & 'Quoted' \"Sour\"", "pours": ["2 oz gin"], "method": "stirred", "glass": "coupe"},
            **{"ice": "none", "steps": ["Stir."], "source": "fogbell"},
        }
        kept = posted(client, "/api/office/keep", {"kind": "drink", "page": "fogbell.toml", "fields": fields})
        assert kept["understood"], kept["say"]
        page = client.get("/office").get_data(as_text=True)
        assert "<b>Bold" not in page
        form = client.get("/office/drink", query_string={"name": fields["name"]})
        assert "&lt;b&gt;Bold" in form.get_data(as_text=True)

    def test_without_an_office_there_are_no_such_pages(self, services: Services) -> None:
        """The bar's page alone has no way to the book."""
        bare = create_app(services).test_client()
        assert bare.get("/office").status_code == 404
        assert "Edit the book" not in bare.get("/").get_data(as_text=True)


class TestPin:
    """With a PIN, what is the manager's is the manager's."""

    @pytest.fixture(autouse=True)
    def _pin(self, services: Services) -> None:
        services.manager.set_pin("482913")

    @pytest.mark.parametrize("path", [*PAGES, "/office/lists"])
    def test_a_page_asks_for_it(self, client: FlaskClient, path: str) -> None:
        """And shows nothing of the book."""
        answer = client.get(path)
        assert answer.status_code == 403
        page = answer.get_data(as_text=True)
        assert 'id="unlock"' in page
        assert "gin" not in page.casefold().replace("page", "").replace("margin", "")

    @pytest.mark.parametrize(
        ("path", "body"),
        [
            ("weigh", GIMLET),
            ("keep", GIMLET),
            ("undo", {"token": "x"}),
            ("remove", {"kind": "drink", "was": "Gimlet", "seen": "x"}),
            ("own", {}),
            ("price", {"ingredient": "gin", "price": "20"}),
        ],
    )
    def test_nothing_is_changed_without_it(self, client: FlaskClient, path: str, body: object) -> None:
        """Every way of writing is behind it."""
        assert client.post(f"/api/office/{path}", json=body).status_code == 403

    @pytest.mark.parametrize("kind", ["prices", "sales"])
    def test_no_list_is_taken_without_it(self, client: FlaskClient, kind: str) -> None:
        """Not even shown."""
        assert client.post(f"/api/office/lists/{kind}", data=b"Item,Price\ngin,20\n").status_code == 403

    @pytest.mark.parametrize("what", EXPORTS)
    def test_nothing_is_taken_along_without_it(self, client: FlaskClient, what: str) -> None:
        """What the bar has is the bar's."""
        assert client.get(f"/office/export/{what}").status_code == 403

    def test_unlocked_they_open(self, client: FlaskClient) -> None:
        """For the device that typed it."""
        assert client.post("/api/pin/unlock", json={"pin": "482913"}).status_code == 200
        assert all(client.get(path).status_code == 200 for path in PAGES)


class TestPrice:
    """A new price of a pack, typed on the ingredient's page."""

    def test_it_is_noted_as_a_spoken_one_and_undone(self, client: FlaskClient, services: Services) -> None:
        """In the trail, under the name of whoever typed it."""
        reply = posted(client, "/api/office/price", {"ingredient": "gin", "price": "30.50", "who": "Ada"})
        assert reply["say"].startswith("Gin is now thirty dollars fifty")
        assert [(entry.kind, entry.name, entry.who) for entry in services.memory.trail(1)] == [("price", "gin", "Ada")]
        assert "thirty dollars fifty" in services.ask("what does gin cost", "bar").say
        assert posted(client, "/api/office/undo", {"token": reply["undo"]})["understood"]
        assert "twenty-four dollars" in services.ask("what does gin cost", "bar").say

    @pytest.mark.parametrize(("ingredient", "price"), [("gin", "cheap"), ("gin", ""), ("nobody", "20"), ("gin", "-3")])
    def test_what_is_no_price_changes_nothing(
        self, client: FlaskClient, services: Services, ingredient: str, price: str
    ) -> None:
        """It is said, and nothing is noted."""
        reply = posted(client, "/api/office/price", {"ingredient": ingredient, "price": price})
        assert reply["undo"] is None
        assert services.memory.trail() == ()

    def test_an_unknown_token_is_told(self, client: FlaskClient) -> None:
        """Nothing is undone by guessing."""
        reply = posted(client, "/api/office/undo", {"token": "nonsense"})
        assert (reply["understood"], reply["say"]) == (False, "I know of no such change, so nothing was undone.")


class TestLists:
    """Lists given on the page do what they do in the terminal."""

    PRICES = "Article;Contents;Cost\nGin;6 x 700 ml;168,00\nRye Whiskey;12/750ml;384,00\nGinn;700 ml;20,00\n"

    def test_a_list_is_shown_first_and_then_taken(self, client: FlaskClient, services: Services) -> None:
        """Shown it changes nothing; taken, all of it; and undone as one."""
        shown = given(client, "prices", self.PRICES, columns={"item": "1", "pack": "2", "price": "3"})
        assert shown["reply"]["say"].startswith("Two prices would change. Press Take it to make it so.")
        assert shown["can_be_taken"]
        assert services.memory.trail() == ()
        taken = given(
            client, "prices", self.PRICES, columns={"item": "1", "pack": "2", "price": "3"}, take=True, who="Ada"
        )
        assert taken["reply"]["say"].startswith("Two prices changed.")
        assert {(entry.name, entry.who) for entry in services.memory.trail()} == {
            ("gin", "Ada"),
            ("rye whiskey", "Ada"),
        }
        posted(client, "/api/office/undo", {"token": taken["reply"]["undo"]})
        assert services.memory.recall().prices == {}

    def test_unknown_headings_are_offered_to_be_named(self, client: FlaskClient) -> None:
        """The first lines come back cut into columns, with what a column can hold."""
        shown = given(client, "prices", "Foo;Bar;Baz\nGin;6 x 700 ml;168,00\n")
        assert not shown["can_be_taken"]
        assert "Say above the columns what each of them holds." in shown["reply"]["say"]
        assert shown["columns"]["lines"] == [["Foo", "Bar", "Baz"], ["Gin", "6 x 700 ml", "168,00"]]
        assert {"item", "pack", "price"} <= set(shown["columns"]["can_hold"])
        assert shown["columns"]["places"] == {}

    def test_a_near_name_is_offered_and_taken_when_it_is_said(self, client: FlaskClient) -> None:
        """Never assumed; said once, it is remembered."""
        text = "Item,Pack,Price\nLondon Dry Gin Export,700 ml,20.00\n"
        shown = given(client, "prices", text)
        assert [line["name"] for line in shown["near"]] == ["London Dry Gin Export"]
        matched = given(client, "prices", text, matches={"London Dry Gin Export": ["gin"]}, take=True)
        assert matched["reply"]["undo"]
        assert given(client, "prices", text)["reply"]["say"].startswith("No price would change.")

    def test_a_fault_on_a_line_holds_all_of_it_back(self, client: FlaskClient, services: Services) -> None:
        """Nothing is half imported, also when it is sent to be taken."""
        text = "Item,Pack,Price\nGin,750 ml,20.00\nVodka,750 ml,soon\n"
        taken = given(client, "prices", text, take=True)
        assert not taken["can_be_taken"]
        assert taken["reply"]["say"].startswith("Nothing was changed: one line has a fault.")
        assert services.memory.trail() == ()

    def test_large_changes_have_to_be_said_to_be_right(self, client: FlaskClient) -> None:
        """A price ten times what it was is more often a misread pack."""
        text = "Item,Pack,Price\nGin,750 ml,240.00\n"
        assert not given(client, "prices", text)["can_be_taken"]
        assert given(client, "prices", text, large=True)["can_be_taken"]

    def test_sales_are_counted_for_the_menu_engineering(self, client: FlaskClient, services: Services) -> None:
        """They replace the list before."""
        taken = given(client, "sales", "Item,Qty\nGimlet,61\nDaiquiri,44\n", take=True)
        assert taken["reply"]["undo"]
        assert services.memory.recall().sold == {"Gimlet": 61, "Daiquiri": 44}

    def test_recipes_from_elsewhere_are_taken_and_what_cannot_be_read_is_told(
        self, client: FlaskClient, services: Services
    ) -> None:
        """Each with its reason; those that can be read can be asked for."""
        recipes = [
            {
                **{"@type": "Recipe", "name": "Quay Sour", "recipeIngredient": ["2 oz gin", "1 oz lemon juice"]},
                **{"recipeInstructions": ["Shake and strain into a coupe."]},
            },
            {"@type": "Recipe", "name": "Strange", "recipeIngredient": ["1 oz moon dust"]},
        ]
        shown = given(client, "recipes", json.dumps(recipes))
        assert "One recipe can be taken. One recipe cannot be read in full" in shown["reply"]["say"]
        assert "moon dust" in json.dumps(shown["reply"]["card"])
        assert given(client, "recipes", json.dumps(recipes), take=True)["reply"]["undo"]
        assert services.ask("spec for a quay sour", "bar").say.startswith("Quay Sour: two ounces gin")

    @pytest.mark.parametrize("data", [b"", b"PK\x03\x04 a workbook", b"\x00\x01\x02", b'Item,Price\n"gin,20\n'])
    @pytest.mark.parametrize("kind", ["prices", "sales", "recipes"])
    def test_what_is_no_list_is_a_sentence(self, client: FlaskClient, kind: str, data: bytes) -> None:
        """Whatever the file is, nothing breaks and nothing changes."""
        shown = given(client, kind, data, take=True)
        assert shown["reply"]["understood"] is False
        assert shown["reply"]["say"].endswith("Nothing was changed.") or "Nothing was changed" in shown["reply"]["say"]

    @pytest.mark.parametrize("query", ["{", "[]", '{"columns": 3}', '{"colour": "red"}'])
    def test_a_query_that_is_none_is_refused(self, client: FlaskClient, query: str) -> None:
        """With a sentence, and not by falling over."""
        answer = client.post("/api/office/lists/prices", data=b"Item,Price\n", query_string={"with": query})
        assert answer.status_code in (400, 422)
        assert answer.get_json()["error"].endswith(".")


class TestExports:
    """What a bar takes along."""

    @pytest.mark.parametrize("what", EXPORTS)
    def test_each_comes_as_a_file(self, client: FlaskClient, what: str) -> None:
        """Named, and not kept by the browser."""
        answer = client.get(f"/office/export/{what}")
        assert answer.status_code == 200
        assert answer.headers["Content-Disposition"] == f'attachment; filename="{what}"'
        assert answer.headers["Cache-Control"] == "no-store"

    def test_prices_come_back_as_they_went(self, client: FlaskClient) -> None:
        """The exported list, given back, changes nothing."""
        exported = client.get("/office/export/prices.csv").get_data()
        assert next(csv.DictReader(io.StringIO(exported.decode())))["Currency"] == "USD"
        assert given(client, "prices", exported)["reply"]["say"].startswith("No price would change.")

    def test_the_book_comes_with_its_comments(self, client: FlaskClient, services: Services) -> None:
        """File for file as it is edited."""
        archive = zipfile.ZipFile(io.BytesIO(client.get("/office/export/book.zip").get_data()))
        assert archive.read("book/fogbell.toml") == (services.files.folder / "fogbell.toml").read_bytes()

    def test_another_name_is_none(self, client: FlaskClient) -> None:
        """Only what is listed is written."""
        assert client.get("/office/export/passwords.txt").status_code == 404
