"""Files made to harm whoever reads them, and what must become of each."""
