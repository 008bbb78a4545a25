"""Template tags of blocks."""
