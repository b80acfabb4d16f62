"""A bush in its housing on its shaft: press, close-in, running, cold and hot."""
