"""A network without the words that a recogniser cannot listen for."""

from __future__ import annotations

from collections.abc import Set
from dataclasses import replace

from grammar.network import Network


def without(network: Network, words: Set[str]) -> Network:
    """The sentences of the network that have none of these words."""
    return replace(network, arcs=tuple(arc for arc in network.arcs if arc.word not in words))
