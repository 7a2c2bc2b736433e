"""What happens to a pattern, in the order in which it happens: svg, pattern, alter, checks, report."""
