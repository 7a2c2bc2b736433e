"""Findings and facts to terminal, JSON, JUnit and HTML; computes nothing."""
