"""What is known: the record, the rules, and the doors to both."""
