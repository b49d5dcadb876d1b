"""Which answer each intent gets: the handlers of all topics, collected."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from assistant.answers import builds, costs, pack_prices, prep, safety, scales, specs, stock
from assistant.answers.base import Handler
from grammar.command import Intent

_TOPICS = (builds, costs, pack_prices, prep, safety, scales, specs, stock)

HANDLERS: Mapping[Intent, Handler] = MappingProxyType(
    {intent: handler for topic in _TOPICS for intent, handler in topic.HANDLERS.items()}
)
