"""Elements to the trade's objects and back: size, piece, outline, edge, corner, dart, mark."""
