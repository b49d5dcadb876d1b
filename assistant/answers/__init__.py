"""What is said back: one module per topic, each a function from a command and the scene to an answer."""
