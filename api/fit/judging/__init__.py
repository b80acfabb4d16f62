"""What every check stands on: features, differences, gaps with their chances, reasons, cautions. Pure."""
