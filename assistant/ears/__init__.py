"""Recognisers: one small contract, one file per engine."""
