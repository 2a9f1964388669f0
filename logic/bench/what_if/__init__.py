"""What would follow if something were different; the record stays untouched."""
