"""Replies of every shape that a door must show, written by hand; numbers are made up."""

from __future__ import annotations

from decimal import Decimal

from assistant.messages import Bar, Bars, Card, Choice, Figure, Heard, Note, Question, Reply, Row, Steps, Table
from grammar.command import Command, Intent


def oz(number: str, text: str) -> Figure:
    """An amount in ounces."""
    return Figure(Decimal(number), "oz", f"{text} oz")


def money(number: str) -> Figure:
    """A price in dollars."""
    return Figure(Decimal(number), "USD", f"${number}")


def percent(number: str) -> Figure:
    """A share, or a strength."""
    return Figure(Decimal(number), "percent", f"{number}%")


LINES = (
    Row("gin", (oz("1.5", "1 1/2"),)),
    Row("dry vermouth", (oz("0.5", "1/2"),)),
    Row("lemon juice", (oz("0.75", "3/4"),)),
    Row("raspberry syrup", (oz("0.5", "1/2"),), note="house-made, 14 days in the fridge"),
    Row("egg white", (Figure(Decimal("0.5"), "oz", "1/2 oz"),), note="raw"),
)
STEPS = (
    "Dry shake everything for ten seconds.",
    "Add ice and shake hard until the tin frosts.",
    "Fine strain into a chilled coupe.",
    "Garnish with three raspberries on a pick.",
)
EGG = (
    "Raw egg: tell guests, and leave it out for anyone who should not have it.",
    "Contains egg. Check labels and ask the kitchen before you serve a guest with an allergy.",
)

SPEC = Reply(
    say="A Clover Club is an ounce and a half of gin, half an ounce of dry vermouth, three quarters of lemon, "
    "half an ounce of raspberry syrup and half an ounce of egg white. Shake it dry, then with ice.",
    card=Card(
        "spec", "Clover Club", ("coupe", "shaken", "no ice", "$14.00"), (Table(LINES), Steps(STEPS, title="Build"))
    ),
    cautions=EGG,
    heard=Heard("spec for a clover club", 0.92, recogniser="scripted", audio_s=1.8, work_s=0.1),
    command=Command(Intent.SPEC, {"drink": "Clover Club"}),
)
STEP = Reply(
    say="Step two. Add ice and shake hard until the tin frosts.",
    card=Card("next_step", "Clover Club", ("step 2 of 4",), (Steps(STEPS, current=1),)),
    heard=Heard("next"),
    command=Command(Intent.NEXT_STEP),
)
AMOUNT = Reply(
    say="Three quarters of an ounce of lemon juice.",
    card=Card("amount", "Clover Club", (), (Table((Row("lemon juice", (oz("0.75", "3/4"),)),)),)),
    heard=Heard("how much lemon"),
    command=Command(Intent.AMOUNT, {"drink": "Clover Club", "ingredient": "lemon juice"}),
)
COST = Reply(
    say="A Clover Club costs two dollars sixty-one to pour, twenty percent of the menu price before tax.",
    card=Card(
        "cost",
        "Cost of a Clover Club",
        ("menu $14.00", "net of tax $12.96"),
        (
            Table(
                (
                    Row("gin", (Figure(Decimal("1.5"), "oz", "1 1/2 oz"), money("1.42"))),
                    Row("dry vermouth", (oz("0.5", "1/2"), money("0.24"))),
                    Row("lemon juice", (oz("0.75", "3/4"), money("0.32")), note="42 ml from a lemon"),
                    Row("raspberry syrup", (oz("0.5", "1/2"), Figure(None, "USD", "unknown")), tone="warn"),
                    Row("egg white", (oz("0.5", "1/2"), money("0.21"))),
                    Row("garnish", ("3 raspberries", money("0.30")), tone="muted"),
                    Row("all lines that are known", ("", money("2.49")), tone="strong"),
                ),
                heads=("", "pours", "costs"),
            ),
            Bars(
                (
                    Bar("Pour cost", percent("19.2"), low=Decimal(18), high=Decimal(22), tone="good"),
                    Bar("Margin", money("10.47")),
                    Bar("Syrup", Figure(None, "USD", "unknown")),
                ),
                (Decimal(40), Decimal(14), Decimal(1)),
                title="Against the target",
            ),
            Note("The price of raspberries is not in the book, so the syrup is left out of the sum.", "warn"),
        ),
    ),
    heard=Heard("what does a clover club cost"),
    command=Command(Intent.COST, {"drink": "Clover Club"}),
)
COMPARE = Reply(
    say="With aged rum it is a touch stronger, sweeter and forty cents dearer.",
    card=Card(
        "riff",
        "Gimlet with aged rum",
        ("beside the Gimlet",),
        (
            Bars(
                (
                    Bar("Strength", percent("22.4"), Decimal(18), Decimal(24), percent("24.1")),
                    Bar(
                        "Sugar",
                        Figure(Decimal(7), "g", "7 g"),
                        Decimal(5),
                        Decimal(9),
                        Figure(Decimal("8.5"), "g", "8.5 g"),
                    ),
                    Bar(
                        "Acid",
                        Figure(Decimal("0.9"), "g", "0.9 g"),
                        Decimal("0.6"),
                        Decimal("1.2"),
                        Figure(Decimal("0.9"), "g", "0.9 g"),
                    ),
                    Bar(
                        "Served", Figure(Decimal(135), "ml", "135 ml"), None, None, Figure(Decimal(138), "ml", "138 ml")
                    ),
                ),
                (Decimal(40), Decimal(14), Decimal(2), Decimal(200)),
                title="Balance",
                names=("Gimlet", "with aged rum"),
            ),
            Table(
                (
                    Row("base", ("2 oz gin", "2 oz aged rum"), tone="strong"),
                    Row("sweet", ("3/4 oz lime cordial", "3/4 oz lime cordial")),
                    Row("costs", (money("2.10"), money("2.50"))),
                ),
                heads=("", "Gimlet", "riff"),
                title="Side by side",
            ),
        ),
    ),
    heard=Heard("gimlet with aged rum instead"),
    command=Command(Intent.RIFF, {"drink": "Gimlet", "ingredient": "aged rum"}),
)
OUT = Reply(
    say="Orgeat is out. Two drinks stop: Lantern Room and Slack Water. Say undo if that is wrong.",
    card=Card(
        "out_of",
        "Out of orgeat",
        ("2 drinks stop", "1 stand-in"),
        (
            Table(
                (
                    Row("Lantern Room", ("no stand-in",), tone="warn"),
                    Row("Slack Water", ("demerara syrup",), tone="good"),
                )
            ),
        ),
    ),
    cautions=("The stand-in has other allergens: check the label.",),
    undo="c0ffee",
    heard=Heard("we are out of orgeat"),
    command=Command(Intent.OUT_OF, {"ingredient": "orgeat"}),
)
BATCH = Reply(
    say="Forty Clover Clubs, five litres in all. Two and a quarter ounces for each serve, shaken with egg white.",
    card=Card(
        "batch",
        "Clover Club, batched",
        ("40 serves",),
        (
            Table(
                (
                    Row("gin", (Figure(Decimal("1.77"), "l", "1.77 l"), Figure(Decimal("1.66"), "kg", "1.66 kg"), "3")),
                    Row(
                        "raspberry syrup",
                        (Figure(Decimal(591), "ml", "591 ml"), Figure(Decimal(727), "g", "727 g"), ""),
                    ),
                ),
                heads=("Goes in", "By volume", "By weight", "Bottles"),
            ),
            Steps(("Clean a vessel that holds it all.", "Measure everything in.", "Label it and chill it.")),
        ),
    ),
    cautions=(
        *EGG,
        "Check local law before you mix ahead, infuse or refill bottles.",
        "Lemon juice and egg white wait for the order.",
        "This is what our book says. Labels, your local code and licensed practice decide.",
    ),
    heard=Heard("batch forty clover clubs"),
    command=Command(Intent.BATCH, {"drink": "Clover Club", "count": 40}),
)
WHICH = Reply(
    say="Did you mean the Gin Daisy or the Brandy Daisy?",
    asks=Question(
        "Did you mean the Gin Daisy or the Brandy Daisy?",
        (
            Choice("Gin Daisy", Command(Intent.SPEC, {"drink": "Gin Daisy"})),
            Choice("Brandy Daisy", Command(Intent.SPEC, {"drink": "Brandy Daisy"})),
        ),
    ),
    heard=Heard("a daisy"),
)
LOST = Reply(
    say="I did not understand that. You can ask for a spec, an amount, a cost or a stand-in.",
    heard=Heard("lovely weather"),
    understood=False,
)
CANNED = {
    "spec for a clover club": SPEC,
    "next": STEP,
    "how much lemon": AMOUNT,
    "what does a clover club cost": COST,
    "gimlet with aged rum instead": COMPARE,
    "we are out of orgeat": OUT,
    "batch forty clover clubs": BATCH,
    "a daisy": WHICH,
}
