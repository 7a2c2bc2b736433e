"""Closing a wedge, opening a mouth, truing a dart, blending an edge, redrawing allowance. Never sees XML."""
