"""What can be done with an open history: each operation in a module of its own."""
