"""The command line: the only part that opens files for output, prints, and knows exit statuses."""
