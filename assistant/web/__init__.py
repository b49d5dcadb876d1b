"""The page and its JSON interface."""
