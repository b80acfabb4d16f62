"""Which part stands in for which: graded, with reasons, and found by any number it goes by."""
