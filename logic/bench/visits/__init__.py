"""What one visit hands to the next: proof, sheets, what is known, how long it took."""
