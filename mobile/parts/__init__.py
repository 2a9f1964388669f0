"""The pieces that screens are built from. Sizes, widths, heights and gaps are logical pixels."""
