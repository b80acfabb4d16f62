"""Access: keys and what they allow, and how many requests are taken from whom."""
