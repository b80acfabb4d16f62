"""What a caller states: the shapes of a request, how they are read, and the values stated."""
