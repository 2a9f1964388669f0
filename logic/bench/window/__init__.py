"""The window of one string: from the lowest clean clearance to the highest one in tune."""
