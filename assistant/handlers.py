"""Which answer each intent gets: the handlers of all topics, collected."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from assistant.answers import (
    balances,
    batches,
    builds,
    compare,
    costs,
    families,
    lists,
    on_hand,
    orders,
    pack_prices,
    pars,
    prep,
    quiz,
    ranks,
    riffs,
    safety,
    scales,
    specs,
    stock,
    tastes,
)
from assistant.answers.base import Handler
from grammar.command import Intent

_TOPICS = (
    *(balances, batches, builds, compare, costs, families, lists, on_hand, orders),
    *(pack_prices, pars, prep, quiz, ranks, riffs, safety, scales, specs, stock, tastes),
)

HANDLERS: Mapping[Intent, Handler] = MappingProxyType(
    {intent: handler for topic in _TOPICS for intent, handler in topic.HANDLERS.items()}
)
