"""The card: one printed page for the chair."""
