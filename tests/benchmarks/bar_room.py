"""Other people's speech: an evening of talk in a bar, made of synthetic voices and of recordings of people reading.

None of it is meant for the assistant. Words that sound like a wake phrase of a harbour bar are in it on purpose.
"""

from __future__ import annotations

import random
import re
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np
import soxr
from numpy.typing import NDArray

from assistant.ears.base import RATE, Sound
from assistant.ears.sound import open_sound
from demo_audio_scripts.speak import VOICES
from tests.spoken import loudness, said_by

LIBRIVOX = Path("/usr/share/pocketsphinx/test/data/librivox")  # Debian's pocketsphinx-testdata: one reader, 25 s
Samples = NDArray[np.float32]

SENTENCES = """
Did you hear about the ferry, they say it runs again on {day}
I told {who} the {thing} was broken but nobody came to look at it
We could walk down to the {place} after this if the rain stops
My {kin} lives near the {place}, the one with the {colour} door
That was the best {food} I have had in a long time
Can we get another round over here when you have a minute
She works as a {job} and never gets home before {hour}
He wanted to be a {job} but his {kin} talked him out of it
I think it costs about {number} a month, maybe more with the heating
They are closing the {place} for repairs until the end of {day}
Who is driving home tonight, because it is not going to be me
It gets so foggy out there you cannot see the {thing} from the {place}
You should try the one with {food}, it is not too sweet
Is that the bell, or is it somebody's phone again
The match starts at {hour} and we still have no table
I have been here since {hour} and my feet are killing me
Hello, we booked a table for {number} under the name of {who}
Hey, how are you, I have not seen you since {day}
The master of the house is out, said {who}, and laughed
{who} found the {colour} {thing} under a chair by the {place}
What did the {job} say when you asked about the {thing}
I could eat {number} plates of that {food} right now
We ran out of {food} on {day} and it was a disaster
No, the other one, the {colour} one behind the {thing}
So I said to {who}, if you want the {job}, go and ask for it
The boats come back to the harbour around {hour} these days
It was a scary evening, having to wait on the quay like that
My {kin} has been keeping bees, {number} hives of them now
Could you pass me the {thing} and two of those napkins please
I never liked {food} until I had it in that little {place}
Do you take cards, or should I run to the {place} for cash
It is {who}'s birthday on {day}, so we thought about a {food} cake
The {job} at the {place} told me it opens at {hour}
Somebody left a {colour} {thing} at the bar last night
I would not call it a storm, but the wind was bad enough
Two of those and a glass of the house red, please, and some water
He plays the {thing} in a band with his {kin} every {day}
Leave it on the counter, I will wash it when the rush is over
""".strip().splitlines()
WORDS = {
    "day": "Monday, Tuesday, Thursday, Friday, Saturday, Sunday",
    "who": "Anna, Peter, Martha, George, Helen, Oliver, the landlord, the neighbour, Margaret, Tom, Karen, Evan",
    "thing": "boiler, lantern, suitcase, anchor, umbrella, guitar, ice machine, window, ladder, bicycle, coffee pot",
    "place": "harbour, market, church, lighthouse, station, haven, post office, bakery, fish shop, library, quay",
    "kin": "brother, sister, mother, uncle, cousin, father, daughter, grandfather",
    "colour": "red, blue, green, yellow, grey, white, black",
    "food": "chowder, lemon tart, oysters, fried potatoes, rye bread, chocolate, smoked mackerel, apple pie, olives",
    "job": "teacher, baker, harbour pilot, carpenter, nurse, plasterer, sailor, gardener, head master, housekeeper",
    "hour": "six, half past seven, eight, quarter to nine, ten, midnight",
    "number": "two, three, four, five, six, eight, ten, twelve, twenty, forty",
}
PAUSES_S = (0.2, 1.5)
AT_ONCE = 0.2  # of the sentences begin while another is said
LEVELS_DB = (-18.0, 0.0)  # people sit near and far


def sentence(chance: random.Random) -> str:
    """Something that a guest says."""
    return re.sub(r"\{(\w+)\}", lambda hole: chance.choice(WORDS[hole[1]].split(", ")), chance.choice(SENTENCES))


def voices(count: int, seed: int) -> list[Samples]:
    """So many sentences, by all voices that are here in turn."""
    chance = random.Random(seed)
    here = [voice for voice in VOICES if voice.is_here]
    return [said_by(here[number % len(here)], sentence(chance)).samples for number in range(count)]


def readers() -> list[Samples]:
    """The recordings of people reading that Debian has."""
    return [open_sound(file).samples for file in sorted(LIBRIVOX.glob("*.wav"))]


def talk(said: Sequence[Samples], seconds: float, seed: int) -> Samples:
    """So much talk: the sentences in any order, near and far, a little faster and slower, some of them at once."""
    random_ = np.random.default_rng(seed)
    room = np.zeros(int((seconds + 30) * RATE), np.float32)
    at = 0
    while at < seconds * RATE:
        each = _at_pace(said[int(random_.integers(len(said)))], random_.uniform(0.92, 1.08))
        level = 10 ** (random_.uniform(*LEVELS_DB) / 20) * 0.1 / np.sqrt(loudness(each))
        each = each[: len(room) - at]
        room[at : at + len(each)] += each * np.float32(level)
        rest = random_.uniform(*PAUSES_S) * RATE
        at += int(len(each) * random_.uniform(0.2, 0.8) if random_.random() < AT_ONCE else len(each) + rest)
    return room[: int(seconds * RATE)] + _hum(int(seconds * RATE), random_)


def babble(said: Sequence[Samples], seconds: float, at_once: int = 8, seed: int = 9) -> Sound:
    """So many people talking at once, none of them near."""
    random_ = np.random.default_rng(seed)
    room = np.zeros(int(seconds * RATE), np.float32)
    for _ in range(at_once):
        stream = np.concatenate(
            [said[index] / np.sqrt(loudness(said[index])) for index in random_.permutation(len(said))]
        )
        room += np.resize(np.roll(stream, random_.integers(len(stream))), len(room)).astype(np.float32)
    return Sound((room / np.abs(room).max() / 2).astype(np.float32))


def pieces(samples: Samples, seconds: float = 0.2) -> Iterator[Sound]:
    """As a page sends them."""
    size = int(seconds * RATE)
    return (Sound(samples[at : at + size]) for at in range(0, len(samples), size))


def _at_pace(samples: Samples, pace: float) -> Samples:
    paced: Samples = soxr.resample(samples, RATE, int(RATE / pace))
    return paced


def _hum(count: int, random_: np.random.Generator) -> Samples:
    return (random_.standard_normal(count) * 1e-3).astype(np.float32)
