"""From the record and the decisions to the view of each screen."""
