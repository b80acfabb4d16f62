"""The sizes of a kind as columns of numbers, and which of them are one group. Pure."""
