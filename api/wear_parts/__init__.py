"""Kinds of wear part and their dimensions, sizes, the makers' parts, and every number they go by."""
