"""Small questions, typed and awaited."""
