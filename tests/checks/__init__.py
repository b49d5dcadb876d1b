"""Checks against outside sources: each expected value stands beside where it was published."""
