"""What can be said, and what was meant. See README.md in this folder for its law."""
