"""The rules of the house that a machine can check: layout, names, arrows, documents."""
