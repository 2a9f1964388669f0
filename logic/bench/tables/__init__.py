"""The trade's disputable figures, one typed table for each file of `assets/`."""
