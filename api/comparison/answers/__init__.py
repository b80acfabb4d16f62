"""What is answered: its shapes, and how a comparison is given them."""
