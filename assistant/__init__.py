"""Everything that touches the world: ears, talk, memory, terminal and page. README.md here has its law."""
