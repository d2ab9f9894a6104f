"""Pure functions: facts and today's date in, a verdict with its reasons out."""
