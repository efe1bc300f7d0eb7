"""The command line: thin verbs that read a file, call the course, and print what it answers."""
