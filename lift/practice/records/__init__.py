"""Records of what was done and came out, and what they teach."""
