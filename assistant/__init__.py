"""Everything that touches the world: ears, talk, memory, terminal and page. See README.md in this folder for its law."""
