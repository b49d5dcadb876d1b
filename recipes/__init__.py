"""The recipe engine: pure computation on the book. See README.md in this folder for its law."""
