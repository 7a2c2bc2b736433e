"""What the person asks for: one rules file per design, read with the place of every word."""
