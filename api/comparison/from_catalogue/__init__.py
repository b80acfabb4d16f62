"""What the catalogue fills in for a family: lives, hours, terms, parts bought by baskets. Pure."""
