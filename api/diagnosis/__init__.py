"""What is probably wrong: from symptoms and simple tests to ranked faults and the next test."""
