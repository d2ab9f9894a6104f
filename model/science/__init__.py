"""Numbers in, numbers out; every equation with its source."""
