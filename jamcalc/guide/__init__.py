"""The guided entry: a question at a time."""
