"""The command line: words in, exit codes out."""
