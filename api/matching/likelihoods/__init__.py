"""How likely readings are of a size, and how probable each size is once they are taken. Pure."""
