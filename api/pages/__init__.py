"""The pages: what a browser sees first, and the contract to try out. No request leaves this host."""
