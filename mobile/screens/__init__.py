"""One screen a module: what is shown, never what is decided."""
